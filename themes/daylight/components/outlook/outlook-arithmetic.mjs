// When each item needs doing at a given distance a year, and what that costs. Pure: whole numbers in, whole numbers
// out, the very same as sitegen/condition/outlook/outlook.py, whose docstring says how. Both are tested on the same cases.

import { chancesBefore, doubledMean, eightInTen, leastTimes, middleOf, mostTimes, planOf } from "./outlook-money.mjs";

const YEARS = 3;
const WINDOWS = [
  [0, 1],
  [1, 2],
  [2, 3],
  [0, YEARS],
];
const NEVER = [0, 0, 0, 0];
const [A_DAY, A_MONTH, A_YEAR] = [16, 487, 5_844];
export const BANDS = ["due now", "first year", "second year", "third year", "later", "no basis to say"];

/**
 * Return the outlook of `facts` (see outlook_facts in outlook.py) at `aYear` whole miles or kilometres a year, as it
 * starts `later` days after the day that they count from.
 */
export function outlookFor(facts, aYear, later = 0) {
  const counted = facts.items.map((item) => ({
    ...item,
    days: item.days?.map((day) => (day === null ? null : Math.max(day - later, 0))) ?? null,
  }));
  const schedules = counted.map((item) => schedule(item, aYear, facts.odometer_counts)).sort(byUrgency);
  const costs = WINDOWS.map((_, number) => costOf(schedules, number, facts.odometer_counts)).map((cost) => ({
    ...cost,
    plan: planOf(cost),
  }));
  return {
    items: schedules.map(({ item }) => item),
    years: costs.slice(0, YEARS),
    whole: costs[YEARS],
    leftOut: leftOut(schedules),
  };
}

function schedule(facts, aYear, odometerCounts) {
  const first = ticks([facts.distance, A_YEAR], [facts.days, A_DAY * aYear]);
  const again = ticks([facts.again_distance, A_YEAR], [facts.again_months, A_MONTH * aYear]);
  const anyTime = !odometerCounts && facts.again_distance !== null && facts.distance === null;
  const year = A_YEAR * aYear;
  const inWindows = (times, needs) => WINDOWS.map(([start, end]) => times(needs, start * year, end * year));
  let [least, most] = [NEVER, NEVER];
  /** @type {number[][]} */
  let chances = [];
  if (first !== null || anyTime) {
    const needs = { earliest: anyTime || first === null ? 0 : first[0], latest: first?.[1] ?? null, again };
    [least, most] = [inWindows(leastTimes, needs), inWindows(mostTimes, needs)];
    if (odometerCounts && facts.cents !== null) chances = [0, 1, 2, 3].map((end) => chancesBefore(needs, end * year));
  }
  const item = itemOf(facts, first, aYear, { least, most });
  return { cents: facts.cents, earliest: first?.[0] ?? null, latest: first?.[1] ?? null, chances, anyTime, item };
}

function itemOf(facts, first, aYear, times) {
  const { key } = facts;
  if (first === null)
    return {
      key,
      bandFrom: "no basis to say",
      bandTo: "no basis to say",
      months: null,
      budgetNow: false,
      byTime: false,
      ...times,
    };
  const [[earliest, latest], month] = [first, A_MONTH * aYear];
  const budgetNow = facts.no_record && earliest === 0;
  return {
    key,
    bandFrom: budgetNow ? "no basis to say" : band(earliest, A_YEAR * aYear),
    bandTo: budgetNow ? "no basis to say" : band(latest, A_YEAR * aYear),
    months: [Math.floor(earliest / month), latest === null ? null : Math.ceil(latest / month)],
    budgetNow,
    byTime: goesByTime(facts, first, aYear),
    ...times,
  };
}

// The earliest and the latest tick of whichever comes first, of spans and the ticks of one of their units; null if there
// is none, or for an open end.
function ticks(...given) {
  const spans = given.filter(([span]) => span !== null);
  if (spans.length === 0) return null;
  const ends = spans.filter(([span]) => span[1] !== null).map(([span, size]) => span[1] * size);
  return [Math.min(...spans.map(([span, size]) => span[0] * size)), ends.length === 0 ? null : Math.min(...ends)];
}

function band(tick, year) {
  if (tick === null) return "later";
  return tick <= 0 ? "due now" : BANDS[Math.min(Math.floor(tick / year), YEARS) + 1];
}

// What the priced items cost in one window: the least, the most, the mean, and what leaves out one case in ten at each end.
function costOf(schedules, number, odometerCounts) {
  const priced = schedules.filter(({ cents }) => cents !== null);
  const [least, most] = ["least", "most"].map((name, end) =>
    priced.reduce((sum, { cents, item }) => sum + cents[end] * item[name][number], 0),
  );
  if (!odometerCounts) return { least, most, middle: null, likely: null };
  const [start, end] = WINDOWS[number];
  const means = doubledMeans(priced, end) - doubledMeans(priced, start);
  const middle = Math.min(Math.max(middleOf(means), least), most);
  if (start > 0) return { least, most, middle, likely: null };
  const [low, high] = eightInTen(spendings(priced, end));
  return { least, most, middle, likely: [Math.min(low, middle), Math.max(high, middle)] };
}

function spendings(priced, end) {
  return priced
    .map(({ chances, cents }) => ({ chances: chances[end] ?? [], cents }))
    .filter(({ chances }) => chances.length > 0);
}

function doubledMeans(priced, end) {
  return spendings(priced, end).reduce((sum, spending) => sum + doubledMean(spending), 0n);
}

// Keys of what a sum leaves out, or counts in a way that a reader should know.
function leftOut(schedules) {
  const keys = (chosen) => schedules.filter(chosen).map(({ item }) => item.key);
  return {
    notPriced: keys(({ cents, item }) => cents === null && item.most[YEARS] > 0),
    noBasis: keys(({ item, anyTime }) => item.months === null && !anyTime),
    anyTime: keys(({ anyTime, cents }) => anyTime && cents !== null),
    atOnce: keys(({ earliest, latest, cents }) => earliest === 0 && latest === null && cents !== null),
    noRecord: keys(({ cents, item }) => item.budgetNow && cents !== null),
  };
}

// 0 for what is due now, 1 for what to budget for now, then the bands as they come.
function rank({ bandFrom, budgetNow }) {
  const place = BANDS.indexOf(bandFrom);
  return budgetNow ? 1 : place ? place + 1 : 0;
}

// What is to be budgeted for now goes by its price.
function dearest({ cents, item }) {
  return item.budgetNow && cents !== null ? cents[1] : 0;
}

// Whether days decide both ends, so that a distance beside them would only mislead.
function goesByTime({ days }, first, aYear) {
  const byTime = ticks([days, A_DAY * aYear]);
  return byTime?.every((end, place) => end === first[place]) ?? false;
}

// The most urgent first; an open end comes after every number; the order given decides between equals.
function byUrgency(one, other) {
  return (
    rank(one.item) - rank(other.item) ||
    dearest(other) - dearest(one) ||
    (one.earliest ?? 0) - (other.earliest ?? 0) ||
    Number(one.latest === null) - Number(other.latest === null) ||
    (one.latest ?? 0) - (other.latest ?? 0)
  );
}
