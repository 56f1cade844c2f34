// What the priced items cost within a stretch of time, as a predictive distribution. Pure: whole numbers in, whole
// numbers out, the very same as sums.py of sitegen/condition/outlook, which says how.

import { CERTAIN, chancesBefore, mixed, planFigure, sharesOf, STEPS, sumOf } from "./outlook-money.mjs";

export const A_DAY = 16;
export const A_MONTH = 487;
export const A_YEAR = 5_844;
export const USUAL = 100;

/**
 * Return how far is driven, at which levels of wear and of distance, and by how much ticks are multiplied.
 * @param {number} aYear
 * @returns {Rate}
 */
export function rateOf(aYear, wear = USUAL, distance = USUAL) {
  return { wear, distance, size: aYear * USUAL * wear * distance };
}

/**
 * Return the earliest and the latest tick of whichever comes first, distance or days; null without either.
 * @param {Need} need
 * @param {Rate} rate
 */
export function firstNeed({ distance, days, own_wear: ownWear, most_distance: most }, rate) {
  return earliestOf([
    scaled(distance, A_YEAR * USUAL * (ownWear ? USUAL : rate.wear)),
    distance && scaled(most, A_YEAR * USUAL * rate.wear),
    scaled(days, A_DAY * rate.size),
  ]);
}

/** @param {ItemFacts} item @param {Rate} rate */
function againNeed({ again_distance: distance, again_months: months }, rate) {
  return earliestOf([scaled(distance, A_YEAR * USUAL * rate.wear), scaled(months, A_MONTH * rate.size)]);
}

/**
 * Return the least of the low ends, and of the high ends that there are; null if there is no span.
 * @param {(Span | null)[]} spans
 * @returns {Span | null}
 */
export function earliestOf(spans) {
  const known = spans.filter((span) => span !== null);
  if (known.length === 0) return null;
  const ends = known.map(([, high]) => high).filter((high) => high !== null);
  return [Math.min(...known.map(([low]) => low)), ends.length === 0 ? null : Math.min(...ends)];
}

/**
 * Return a span in ticks; an open end stays open.
 * @param {Span | null} span
 * @param {number} size
 * @returns {Span | null}
 */
export function scaled(span, size) {
  return span && [span[0] * size, span[1] === null ? null : span[1] * size];
}

/** @param {Priced} priced @param {boolean} worst @param {Rate} rate @param {number} years @param {Spreads} spreads */
function chancesOf({ item, budgetNow }, worst, rate, years, spreads) {
  const again = againNeed(item, rate);
  const first = budgetNow ? again : firstNeed(needOf(item, worst), rate);
  if (first === null) return [];
  const needs = { earliest: first[0], latest: first[1], again };
  return chancesBefore(needs, years * A_YEAR * rate.size, spreads.may_be_due);
}

/** @param {ItemFacts} item @param {boolean} worst */
const needOf = (item, worst) => (worst && item.worst) || item.need;
/** @param {Priced} priced @param {boolean} worst */
const costOf = ({ item }, worst) => (worst && item.worst_cents) || item.cents;

// The levels that the probabilities of an item depend on.
/** @param {Priced} priced @param {boolean} worst */
function goesBy({ item, budgetNow }, worst) {
  const need = needOf(item, worst);
  if (need.own_wear && !budgetNow) return "wear";
  return (!budgetNow && need.distance) || item.again_distance ? "distance" : "time";
}

/**
 * Return what it costs to do at once all that has no record: {about, low, high}.
 * @param {Priced[]} priced
 * @param {Spreads} spreads
 */
export function noRecordFigure(priced, spreads) {
  const now = doneNow(priced);
  const step = stepOf(sum(now.map(({ cents }) => cents[1])));
  const shares = sharesOf(sumOf(now, step), step, spreads.price);
  return planFigure(meanOf(doubledOf(now), 1, spreads), shares, shares);
}

/**
 * Return {due, total}: what is due within so many years, and that with what has no record done at once.
 * @param {Priced[]} priced
 * @param {number} aYear
 * @param {number} years
 * @param {Spreads} spreads
 */
export function windowCost(priced, aYear, years, spreads) {
  const now = doneNow(priced);
  const scenarios = [false, true].map((worst) => scenarioOf(priced, worst, aYear, years, spreads));
  const sure = sum(now.map(({ cents }) => cents[1]));
  const [known, worst] = scenarios.map((scenario) => {
    const step = stepOf(scenario.most + sure);
    const due = scenario.distribution(step);
    return [due, sumOf(now, step, due)].map((weights) => sharesOf(weights, step, spreads.price));
  });
  const combinations = spreads.wear.length * spreads.distance.length;
  const means = priced.reduce(
    (all, { item }, place) => all + scenarios[Number(item.not_measured)].doubledMean(place),
    0n,
  );
  const atOnce = BigInt(combinations) * doubledOf(now);
  return {
    due: planFigure(meanOf(means, combinations, spreads), known[0], worst[0]),
    total: planFigure(meanOf(means + atOnce, combinations, spreads), known[1], worst[1]),
  };
}

// The chances of each priced item at each level, as they are known or at their worst.
/**
 * @param {Priced[]} priced @param {boolean} worst @param {number} aYear @param {number} years
 * @param {Spreads} spreads
 */
function scenarioOf(priced, worst, aYear, years, spreads) {
  const kinds = priced.map((one) => goesBy(one, worst));
  const costs = priced.map((one) => costOf(one, worst));
  /** @param {number} wear @param {number} distance */
  const name = (wear, distance) => `${wear} ${distance}`;
  const chances = priced.map((one, place) => {
    /** @type {Map<string, number[]>} */
    const levels = new Map();
    for (const wear of kinds[place] === "wear" ? spreads.wear : [USUAL])
      for (const distance of kinds[place] === "time" ? [USUAL] : spreads.distance)
        levels.set(name(wear, distance), chancesOf(one, worst, rateOf(aYear, wear, distance), years, spreads));
    return levels;
  });
  /** @param {string} kind @param {number} wear @param {number} distance @returns {Spending[]} */
  const at = (kind, wear, distance) =>
    priced
      .map((_, place) => place)
      .filter((place) => kinds[place] === kind)
      .map((place) => ({
        chances: /** @type {number[]} */ (chances[place].get(name(wear, distance))),
        cents: costs[place],
      }))
      .filter((spending) => spending.chances.length > 0);
  return {
    most: sum(
      costs.map(([, high], place) => high * Math.max(...[...chances[place].values()].map((each) => each.length))),
    ),
    /** @param {number} place */
    doubledMean(place) {
      const times = Math.floor((spreads.wear.length * spreads.distance.length) / chances[place].size);
      const all = [...chances[place].values()].reduce((found, each) => found + sum(each), 0);
      return BigInt(times) * BigInt(all) * BigInt(costs[place][0] + costs[place][1]);
    },
    /** @param {number} step */
    distribution(step) {
      const byTime = sumOf(at("time", USUAL, USUAL), step);
      return mixed(
        spreads.distance.flatMap((distance) => {
          const byDistance = sumOf(at("distance", USUAL, distance), step, byTime);
          return spreads.wear.map((wear) => sumOf(at("wear", wear, distance), step, byDistance));
        }),
      );
    },
  };
}

/** @param {Priced[]} priced @returns {Spending[]} */
function doneNow(priced) {
  return priced.filter(({ budgetNow }) => budgetNow).map(({ item }) => ({ chances: [CERTAIN], cents: item.cents }));
}

/** @param {Spending[]} now */
function doubledOf(now) {
  return BigInt(CERTAIN) * BigInt(sum(now.map(({ cents }) => cents[0] + cents[1])));
}

/** @param {number[]} numbers */
const sum = (numbers) => numbers.reduce((all, number) => all + number, 0);
/** @param {number} most */
const stepOf = (most) => Math.max(1, Math.ceil(most / STEPS));

// The mean in hundredths, rounded down, at the mean price level.
/** @param {bigint} doubled @param {number} combinations @param {Spreads} spreads */
function meanOf(doubled, combinations, { price }) {
  return Number((doubled * BigInt(sum(price))) / BigInt(2 * CERTAIN * combinations * 1000 * price.length));
}
