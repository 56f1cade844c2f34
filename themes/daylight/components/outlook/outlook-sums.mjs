// What the priced items cost within a stretch of time, as a predictive distribution. Pure: whole numbers in, whole
// numbers out, the very same as sums.py of sitegen/condition/outlook, which says how.

import { CERTAIN, chancesBefore, mixed, planFigure, sharesOf, STEPS, sumOf } from "./outlook-money.mjs";

export const A_DAY = 16;
export const A_MONTH = 487;
export const A_YEAR = 5_844;
export const USUAL = 100;

/** Return how far is driven, at which levels of wear and of distance, and by how much ticks are multiplied. */
export function rateOf(aYear, wear = USUAL, distance = USUAL) {
  return { wear, distance, size: aYear * USUAL * wear * distance };
}

/** Return the earliest and the latest tick of whichever comes first, distance or days; null without either. */
export function firstNeed({ distance, days, own_wear: ownWear, most_distance: most }, rate) {
  return earliestOf([
    scaled(distance, A_YEAR * USUAL * (ownWear ? USUAL : rate.wear)),
    distance && scaled(most, A_YEAR * USUAL * rate.wear),
    scaled(days, A_DAY * rate.size),
  ]);
}

function againNeed({ again_distance: distance, again_months: months }, rate) {
  return earliestOf([scaled(distance, A_YEAR * USUAL * rate.wear), scaled(months, A_MONTH * rate.size)]);
}

/** Return the least of the low ends, and of the high ends that there are; null if there is no span. */
export function earliestOf(spans) {
  const known = spans.filter((span) => span !== null);
  if (known.length === 0) return null;
  const ends = known.map(([, high]) => high).filter((high) => high !== null);
  return [Math.min(...known.map(([low]) => low)), ends.length === 0 ? null : Math.min(...ends)];
}

/** Return a span in ticks; an open end stays open. */
export function scaled(span, size) {
  return span && [span[0] * size, span[1] === null ? null : span[1] * size];
}

function chancesOf({ item, budgetNow }, worst, rate, years, spreads) {
  const again = againNeed(item, rate);
  const first = budgetNow ? again : firstNeed(needOf(item, worst), rate);
  if (first === null) return [];
  const needs = { earliest: first[0], latest: first[1], again };
  return chancesBefore(needs, years * A_YEAR * rate.size, spreads.may_be_due);
}

const needOf = (item, worst) => (worst && item.worst) || item.need;
const costOf = ({ item }, worst) => (worst && item.worst_cents) || item.cents;

// The levels that the probabilities of an item depend on.
function goesBy({ item, budgetNow }, worst) {
  const need = needOf(item, worst);
  if (need.own_wear && !budgetNow) return "wear";
  return (!budgetNow && need.distance) || item.again_distance ? "distance" : "time";
}

/** Return what it costs to do at once all that has no record: {about, low, high}. */
export function noRecordFigure(priced, spreads) {
  const now = doneNow(priced);
  const step = stepOf(sum(now.map(({ cents }) => cents[1])));
  const shares = sharesOf(sumOf(now, step), step, spreads.price);
  return planFigure(meanOf(doubledOf(now), 1, spreads), shares, shares);
}

/** Return {due, total}: what is due within so many years, and that with what has no record done at once. */
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
function scenarioOf(priced, worst, aYear, years, spreads) {
  const kinds = priced.map((one) => goesBy(one, worst));
  const costs = priced.map((one) => costOf(one, worst));
  const name = (wear, distance) => `${wear} ${distance}`;
  const chances = priced.map((one, place) => {
    const levels = new Map();
    for (const wear of kinds[place] === "wear" ? spreads.wear : [USUAL])
      for (const distance of kinds[place] === "time" ? [USUAL] : spreads.distance)
        levels.set(name(wear, distance), chancesOf(one, worst, rateOf(aYear, wear, distance), years, spreads));
    return levels;
  });
  const at = (kind, wear, distance) =>
    priced
      .map((_, place) => place)
      .filter((place) => kinds[place] === kind)
      .map((place) => ({ chances: chances[place].get(name(wear, distance)), cents: costs[place] }))
      .filter((spending) => spending.chances.length > 0);
  return {
    most: sum(
      costs.map(([, high], place) => high * Math.max(...[...chances[place].values()].map((each) => each.length))),
    ),
    doubledMean(place) {
      const times = Math.floor((spreads.wear.length * spreads.distance.length) / chances[place].size);
      const all = [...chances[place].values()].reduce((found, each) => found + sum(each), 0);
      return BigInt(times) * BigInt(all) * BigInt(costs[place][0] + costs[place][1]);
    },
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

function doneNow(priced) {
  return priced.filter(({ budgetNow }) => budgetNow).map(({ item }) => ({ chances: [CERTAIN], cents: item.cents }));
}

function doubledOf(now) {
  return BigInt(CERTAIN) * BigInt(sum(now.map(({ cents }) => cents[0] + cents[1])));
}

const sum = (numbers) => numbers.reduce((all, number) => all + number, 0);
const stepOf = (most) => Math.max(1, Math.ceil(most / STEPS));

// The mean in hundredths, rounded down, at the mean price level.
function meanOf(doubled, combinations, { price }) {
  return Number((doubled * BigInt(sum(price))) / BigInt(2 * CERTAIN * combinations * 1000 * price.length));
}
