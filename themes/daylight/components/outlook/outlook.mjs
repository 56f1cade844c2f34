// Lets a shopper set the distance they drive in a year: the outlook is worked out again on the page, by the same
// arithmetic that made it, and the figure is kept in the page's address so that a link carries it.

import { outlookFor } from './outlook-arithmetic.mjs'

const PARAMETER = 'a-year'

/** Bring the control, and keep the section in step with it. */
export function enhance(section) {
  const find = (name) => section.querySelector(`.outlook-${name}`)
  const [form, number, slider, spoken] = [find('form'), find('number'), find('slider'), section.querySelector('output')]
  const carried = JSON.parse(find('facts').textContent)
  const say = speaker(carried)

  function show(aYear) {
    const outlook = outlookFor(carried.facts, aYear)
    const list = section.querySelector('.outlook')
    for (const item of outlook.items) list.append(showItem(list.querySelector(`[data-key="${item.key}"]`), item, say))
    const rows = [...outlook.years, outlook.whole]
    section.querySelectorAll('.outlook-years tbody tr').forEach((row, place) => {
      row.cells[1].textContent = say.money(rows[place].surely)
      row.cells[2].textContent = say.money(rows[place].possibly)
    })
    const notPriced = find('not-priced')
    notPriced.hidden = outlook.notPriced.length === 0
    notPriced.textContent = say.words('not_priced', { items: say.listed(outlook.notPriced.map((key) => carried.items[key])) })
    find('introduction').textContent = say.words('introduction', { distance: say.distance(aYear) })
    return outlook
  }

  function follow(from, to) {
    const aYear = from.valueAsNumber
    if (!from.checkValidity() && !(from.validity.stepMismatch && Number.isInteger(aYear))) return
    to.value = aYear
    const { whole } = show(aYear)
    keepInAddress(aYear)
    const figures = { distance: say.distance(aYear), surely: say.money(whole.surely), possibly: say.money(whole.possibly) }
    spoken.textContent = say.words('announced', figures)
  }

  number.addEventListener('input', () => follow(number, slider))
  slider.addEventListener('input', () => follow(slider, number))
  form.addEventListener('submit', (event) => event.preventDefault())
  form.hidden = false

  const wanted = Number(new URLSearchParams(location.search).get(PARAMETER))
  if (Number.isInteger(wanted) && wanted >= Number(number.min) && wanted <= Number(number.max)) {
    number.value = slider.value = wanted
    show(wanted)
  }
}

function showItem(line, item, say) {
  line.querySelector('.outlook-band').textContent = say.when(item)
  line.querySelector('.outlook-months').textContent = say.months(item)
  const distance = line.querySelector('.outlook-distance')
  if (distance) distance.hidden = item.byTime || item.bandTo === 'due now'
  return line
}

function keepInAddress(aYear) {
  const address = new URL(location)
  address.searchParams.set(PARAMETER, aYear)
  history.replaceState(null, '', address)
}

/** Return what says what was worked out, in the words and number forms of the page's language and country. */
export function speaker({ words, bands, currency, locale, facts, list }) {
  const number = new Intl.NumberFormat(locale)
  const money = (cents) =>
    new Intl.NumberFormat(locale, {
      style: 'currency',
      currency,
      minimumFractionDigits: cents % 100 === 0 ? 0 : 2,
      maximumFractionDigits: cents % 100 === 0 ? 0 : 2,
    }).format(cents / 100)
  const fill = (text, figures) => text.replace(/\{(\w+)\}/g, (_, name) => figures[name])
  const listed = (items) =>
    items.length < 2 ? items.join('') : fill(list.last, { first: items.slice(0, -1).join(list.comma), last: items.at(-1) })
  return {
    listed,
    words: (key, figures) => fill(words[key], figures),
    distance: (value) => `${number.format(value)}\u00a0${facts.unit}`,
    money: ([low, high]) => (low === high ? money(low) : `${money(low)}–${money(high)}`),
    when: ({ bandFrom, bandTo, budgetNow }) => {
      if (budgetNow) return words.budget_now
      return bandFrom === bandTo ? bands[bandFrom] : fill(words.from_to, { first: bands[bandFrom], last: bands[bandTo].toLocaleLowerCase(locale) })
    },
    months: ({ months, bandFrom, budgetNow }) => {
      if (months === null || bandFrom === 'due now' || budgetNow) return ''
      const [low, high] = months
      return fill(high === null ? words.months_open : words.months, { low: number.format(low), high: high === null ? '' : number.format(high) })
    },
  }
}
