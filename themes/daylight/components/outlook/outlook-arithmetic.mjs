// When each item needs doing at a given distance a year, and what that costs. Pure: whole numbers in, whole numbers
// out, the very same as sitegen/condition/outlook/outlook.py, whose docstring says how. Both are tested on the same cases.

const YEARS = 3
export const BANDS = ['due now', 'first year', 'second year', 'third year', 'later', 'no basis to say']

/** Return the outlook of `facts` (see outlook_facts in outlook.py) at `aYear` whole miles or kilometres a year. */
export function outlookFor(facts, aYear) {
  const schedules = facts.items.map((item) => schedule(item, aYear)).sort(byUrgency)
  return {
    items: schedules.map(({ item }) => item),
    years: [0, 1, 2].map((year) => ({
      surely: total(schedules, ({ surely }) => surely[year]),
      possibly: total(schedules, ({ possibly }) => possibly[year]),
    })),
    whole: {
      surely: total(schedules, ({ surelyInAll }) => surelyInAll),
      possibly: total(schedules, ({ possiblyInAll }) => possiblyInAll),
    },
    notPriced: schedules
      .filter(({ cents, item }) => cents === null && item.surelyInAll + item.possiblyInAll > 0)
      .map(({ item }) => item.key),
  }
}

function schedule(item, aYear) {
  const first = ticks(item.distance, item.months, aYear)
  if (first === null) return { cents: item.cents, earliest: null, latest: null, item: nothingToSay(item.key) }
  const [earliest, latest] = first
  const budgetNow = item.no_record && earliest === 0
  return {
    cents: item.cents,
    earliest,
    latest,
    item: {
      key: item.key,
      bandFrom: budgetNow ? 'no basis to say' : band(earliest, 12 * aYear),
      bandTo: budgetNow ? 'no basis to say' : band(latest, 12 * aYear),
      months: [Math.floor(earliest / aYear), latest === null ? null : Math.ceil(latest / aYear)],
      budgetNow,
      byTime: goesByTime(item, aYear),
      ...needs(first, ticks(item.again_distance, item.again_months, aYear), 12 * aYear),
    },
  }
}

function nothingToSay(key) {
  const none = { surely: [0, 0, 0], possibly: [0, 0, 0], surelyInAll: 0, possiblyInAll: 0 }
  return { key, bandFrom: 'no basis to say', bandTo: 'no basis to say', months: null, budgetNow: false, byTime: false, ...none }
}

// The earliest and the latest tick of whichever comes first; null if there is neither, or for an open end.
function ticks(distance, months, aYear) {
  const spans = [[distance, 12], [months, aYear]].filter(([span]) => span !== null)
  if (spans.length === 0) return null
  const ends = spans.filter(([span]) => span[1] !== null).map(([span, size]) => span[1] * size)
  return [Math.min(...spans.map(([span, size]) => span[0] * size)), ends.length === 0 ? null : Math.min(...ends)]
}

function needs([earliest, latest], again, year) {
  const surely = [0, 0, 0]
  const possibly = [0, 0, 0]
  let surelyInAll = 0
  let possiblyInAll = 0
  while (yearOf(earliest, year) <= YEARS) {
    const place = yearOf(earliest, year) - 1
    const lastPlace = latest === null ? null : yearOf(latest, year) - 1
    if (lastPlace === place) surely[place] += 1
    else possibly[place] += 1
    if (lastPlace !== null && lastPlace < YEARS) surelyInAll += 1
    else possiblyInAll += 1
    if (again === null) break
    earliest += again[0]
    latest = latest === null || again[1] === null ? null : latest + again[1]
  }
  return { surely, possibly, surelyInAll, possiblyInAll }
}

function yearOf(tick, year) {
  return Math.max(1, Math.ceil(tick / year))
}

function band(tick, year) {
  if (tick === null) return 'later'
  return tick <= 0 ? 'due now' : BANDS[Math.min(yearOf(tick, year), YEARS + 1)]
}

function total(schedules, times) {
  const priced = schedules.filter(({ cents }) => cents !== null)
  return [0, 1].map((end) => priced.reduce((sum, { cents, item }) => sum + cents[end] * times(item), 0))
}

// 0 for what is due now, 1 for what to budget for now, then the bands as they come.
function rank({ bandFrom, budgetNow }) {
  const place = BANDS.indexOf(bandFrom)
  return budgetNow ? 1 : place ? place + 1 : 0
}

// What is to be budgeted for now goes by its price.
function dearest({ cents, item }) {
  return item.budgetNow && cents !== null ? cents[1] : 0
}

// Whether months decide both ends, so that a distance beside them would only mislead.
function goesByTime({ distance, months }, aYear) {
  if (months === null || distance === null) return months !== null
  const last = months[1] !== null && (distance[1] === null || months[1] * aYear <= distance[1] * 12)
  return last && months[0] * aYear <= distance[0] * 12
}

// The most urgent first; an open end comes after every number; the order given decides between equals.
function byUrgency(one, other) {
  return (
    rank(one.item) - rank(other.item) ||
    dearest(other) - dearest(one) ||
    (one.earliest ?? 0) - (other.earliest ?? 0) ||
    Number(one.latest === null) - Number(other.latest === null) ||
    (one.latest ?? 0) - (other.latest ?? 0)
  )
}
