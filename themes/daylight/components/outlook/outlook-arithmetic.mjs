// When each item needs doing at a given distance a year, and what that costs. Pure: whole numbers in, whole numbers
// out, the very same as sitegen/condition/outlook.py, whose docstring says how. Both are tested on the same cases.

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
      ...needs(first, ticks(item.again_distance, item.again_months, aYear), 12 * aYear),
    },
  }
}

function nothingToSay(key) {
  const none = { surely: [0, 0, 0], possibly: [0, 0, 0], surelyInAll: 0, possiblyInAll: 0 }
  return { key, bandFrom: 'no basis to say', bandTo: 'no basis to say', months: null, budgetNow: false, ...none }
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

// The most urgent first; an open end comes after every number; the order given decides between equals.
function byUrgency(one, other) {
  return (
    BANDS.indexOf(one.item.bandFrom) - BANDS.indexOf(other.item.bandFrom) ||
    Number(other.item.budgetNow) - Number(one.item.budgetNow) ||
    (one.earliest ?? 0) - (other.earliest ?? 0) ||
    Number(one.latest === null) - Number(other.latest === null) ||
    (one.latest ?? 0) - (other.latest ?? 0)
  )
}
