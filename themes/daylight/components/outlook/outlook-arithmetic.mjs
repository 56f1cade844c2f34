// When each item needs doing at a given distance a year, and what that costs. Pure: whole numbers in, whole numbers
// out, the very same as sitegen/condition/outlook/outlook.py, whose docstring says how. Both are tested on the same cases.

import {
  A_DAY,
  A_MONTH,
  A_YEAR,
  USUAL,
  earliestOf,
  firstNeed,
  noRecordFigure,
  rateOf,
  scaled,
  windowCost,
} from "./outlook-sums.mjs";

const YEARS = 3;
export const BANDS = ["due now", "first year", "second year", "third year", "later", "no basis to say"];

/**
 * Return the outlook of `facts` (see outlook_facts in outlook.py) at `aYear` whole miles or kilometres a year, as it
 * starts `later` days after the day that they count from. `done` are keys of items that are done just before.
 * @param {OutlookFacts} facts
 * @param {number} aYear
 * @param {number} [later]
 * @param {string[]} [done]
 * @returns {Outlook}
 */
export function outlookFor(facts, aYear, later = 0, done = []) {
  const { spreads } = facts;
  const counted = facts.items
    .map((item) =>
      done.includes(item.key)
        ? justDone(item)
        : { ...item, need: needLater(item.need, later), worst: item.worst && needLater(item.worst, later) },
    )
    .filter(({ key, need }) => !done.includes(key) || need.distance !== null || need.days !== null);
  const lines = counted.map((item) => lineOf(item, aYear, spreads)).sort(byUrgency);
  const priced = lines
    .filter(({ facts: { cents } }) => cents !== null)
    .map(({ facts: item, item: { budgetNow } }) => ({ item: /** @type {PricedFacts} */ (item), budgetNow }));
  return {
    items: lines.map(({ item }) => item),
    firstYear: windowCost(priced, aYear, 1, spreads),
    whole: windowCost(priced, aYear, YEARS, spreads),
    noRecord: noRecordFigure(priced, spreads),
    named: named(lines, aYear),
  };
}

// It comes again once its interval is over; worst_cents stay out with all that was not known.
/** @param {ItemFacts} item @returns {ItemFacts} */
function justDone(item) {
  const [low, high] = item.again_months ?? /** @type {[number, null]} */ (/** @type {unknown} */ ([]));
  /** @type {Span | null} */
  const days = item.again_months && [
    Math.floor((low * A_MONTH) / A_DAY),
    high === null ? null : Math.ceil((high * A_MONTH) / A_DAY),
  ];
  const need = { distance: item.again_distance, days, own_wear: false, most_distance: null };
  return { ...item, need, no_record: false, not_measured: false, worst: null, worst_cents: null };
}

/** @param {Need} need @param {number} later @returns {Need} */
function needLater(need, later) {
  const days = need.days?.map((day) => (day === null ? null : Math.max(day - later, 0))) ?? null;
  return { ...need, days: /** @type {Span | null} */ (days) };
}

/** @param {ItemFacts} facts @param {number} aYear @param {Spreads} spreads @returns {OutlookLine} */
function lineOf(facts, aYear, spreads) {
  const rate = rateOf(aYear, ...spreads.driver);
  const shown = shownNeed(facts.need, rate);
  const budgetNow = facts.no_record && (shown === null || shown[0] === 0);
  /** @type {OutlookItem} */
  const item = {
    key: facts.key,
    bandFrom: "no basis to say",
    bandTo: "no basis to say",
    months: null,
    budgetNow,
    byTime: goesByTime(facts.need, rate, shown),
    notMeasured: facts.not_measured && !budgetNow,
  };
  if (shown !== null && !facts.not_measured) {
    const [year, month] = [A_YEAR * rate.size, A_MONTH * rate.size];
    if (!budgetNow) {
      item.bandFrom = band(shown[0], year);
      item.bandTo = band(shown[1], year);
    }
    item.months = [Math.floor((shown[0] ?? 0) / month), shown[1] === null ? null : Math.ceil(shown[1] / month)];
  }
  return { item, facts, shown };
}

// The first need as lines show it; the rate holds the least and the most of the next driver's wear.
/** @param {Need} need @param {Rate} rate */
function shownNeed({ distance, days, own_wear: ownWear, most_distance: most }, rate) {
  const usual = A_YEAR * rate.wear * rate.distance;
  const [low, high] = ownWear ? [USUAL * A_YEAR * rate.wear, USUAL * A_YEAR * rate.distance] : [usual, usual];
  /** @type {Span | null} */
  const shown = distance && [distance[0] * low, distance[1] === null ? null : distance[1] * high];
  return earliestOf([shown, distance && scaled(most, usual), scaled(days, A_DAY * rate.size)]);
}

// Whether days decide both ends, so that a distance beside them would mislead.
/** @param {Need} need @param {Rate} rate @param {any} shown a span wherever the need has days */
function goesByTime({ days }, rate, shown) {
  const byDays = scaled(days, A_DAY * rate.size);
  return byDays?.every((end, place) => end === shown[place]) ?? false;
}

/** @param {number | null} tick @param {number} year */
function band(tick, year) {
  if (tick === null) return "later";
  return tick <= 0 ? "due now" : BANDS[Math.min(Math.floor(tick / year), YEARS) + 1];
}

// Keys of items that the reader of the sums must be told about.
/** @param {OutlookLine[]} lines @param {number} aYear */
function named(lines, aYear) {
  /** @param {(line: OutlookLine) => boolean} chosen */
  const keys = (chosen) => lines.filter(chosen).map(({ item }) => item.key);
  const rate = rateOf(aYear);
  /** @param {ItemFacts} facts */
  const worstOf = ({ worst, need }) => firstNeed(worst ?? need, rate);
  /** @param {OutlookLine} line */
  const mayCome = ({ item, facts }) => {
    const first = worstOf(facts);
    return item.budgetNow || (first !== null && /** @type {number} */ (first[0]) < YEARS * A_YEAR * rate.size);
  };
  /** @param {OutlookLine} line */
  const isForNow = ({ item }) => item.budgetNow || item.notMeasured;
  return {
    notPriced: keys((line) => line.facts.cents === null && mayCome(line)),
    noBasis: keys((line) => !mayCome(line) && line.shown === null && !line.item.budgetNow),
    notMeasured: keys(({ item, facts }) => item.notMeasured && facts.cents !== null),
    atWorst: keys((line) => line.facts.cents !== null && !isForNow(line) && isWorse(line, worstOf)),
    noRecord: keys(({ item, facts }) => item.budgetNow && facts.cents !== null),
  };
}

/** @param {OutlookLine} line @param {(facts: ItemFacts) => Span | null} worstOf */
function isWorse({ facts, shown }, worstOf) {
  if (facts.worst_cents !== null) return true;
  return facts.worst !== null && worstOf(facts)?.[0] === 0 && shown?.[1] !== 0;
}

// 0 for due now, 1 without a record, 2 not measured, then the bands as they come.
/** @param {OutlookItem} item */
function rank({ bandFrom, budgetNow, notMeasured }) {
  if (budgetNow) return 1;
  if (notMeasured) return 2;
  const place = BANDS.indexOf(bandFrom);
  return place ? place + 2 : 0;
}

// Items to budget for now are sorted by price.
/** @param {OutlookLine} line */
function dearest({ facts: { cents }, item }) {
  return (item.budgetNow || item.notMeasured) && cents !== null ? cents[1] : 0;
}

// The most urgent first. An unknown end comes after every number; equal items keep their order.
/** @param {OutlookLine} one @param {OutlookLine} other */
function byUrgency(one, other) {
  const [[earliest, latest], [otherEarliest, otherLatest]] = [one, other].map(({ shown }) => shown ?? [0, null]);
  return (
    rank(one.item) - rank(other.item) ||
    dearest(other) - dearest(one) ||
    earliest - otherEarliest ||
    Number(latest === null) - Number(otherLatest === null) ||
    (latest ?? 0) - (otherLatest ?? 0)
  );
}
