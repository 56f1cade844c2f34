// How often an item comes in a stretch of time, how likely that is, and how money spreads over it. Pure: whole numbers
// in, whole numbers out, the very same as occurrences.py, chances.py and plan.py of sitegen/condition/outlook, which say
// how. Numbers stay below 2 ** 53, or are BigInts, so that nothing is rounded but where it says so.

export const CERTAIN = 2 ** 22;
const WHOLE = 2 ** 30;
const STEPS = 512;
const ROUNDED_TO = [
  [20_000, 1_000],
  [200_000, 5_000],
  [1_000_000, 10_000],
  [Infinity, 50_000],
];

/** Return how often it comes in [start, end) at the least; `needs` is {earliest, latest, again}, an open end is null. */
export function leastTimes({ earliest, latest, again }, start, end) {
  if (latest === null) return 0;
  const repeatHigh = again?.[1] ?? null;
  if (repeatHigh === null) return Number(start <= earliest && latest < end);
  const counts = [];
  if (latest >= start) counts.push(steps(latest, end, repeatHigh));
  if (earliest < start) {
    const number = Math.floor((start - 1 - earliest) / again[0]);
    counts.push(steps(Math.min(latest + number * repeatHigh, start - 1), end, repeatHigh) - 1);
  }
  return Math.min(...counts);
}

/** Return how often it comes in [start, end) at the most. */
export function mostTimes({ earliest, latest, again }, start, end) {
  if (again === null) return Number(earliest < end && (latest === null || latest >= start));
  let number = 0;
  if (latest !== null && latest < start) number = again[1] === null ? 1 : Math.ceil((start - latest) / again[1]);
  return steps(Math.max(start, earliest + number * again[0]), end, again[0]);
}

function steps(first, end, step) {
  return Math.max(Math.ceil((end - first) / step), 0);
}

/** Return the chances of at least one, two, ... needs before `end`, as parts of CERTAIN, as long as there is any. */
export function chancesBefore({ earliest, latest, again }, end) {
  const firstWidth = latest === null ? 0 : latest - earliest;
  const repeat = again?.[0] ?? 0;
  const repeatWidth = (again?.[1] ?? repeat) - repeat;
  const found = [];
  for (let left = end - earliest; left > 0; left = end - earliest - found.length * repeat) {
    const chance = sumBelow(left, firstWidth, repeatWidth, found.length);
    if (chance === 0) break;
    found.push(chance);
    if (again === null) break;
  }
  return found;
}

function sumBelow(limit, first, other, others) {
  if (limit >= first + others * other) return CERTAIN;
  const [firsts, repeats] = [first > 0 ? 1 : 0, other > 0 ? others : 0];
  const power = BigInt(firsts + repeats);
  let [above, below, choices] = [0n, BigInt(first) ** BigInt(firsts) * BigInt(other) ** BigInt(repeats), 1n];
  for (let uppers = 0; uppers <= repeats && limit - uppers * other > 0; uppers += 1) {
    const rest = limit - uppers * other;
    const part = choices * (BigInt(rest) ** power - (firsts && rest > first ? BigInt(rest - first) ** power : 0n));
    above += uppers % 2 ? -part : part;
    choices = (choices * BigInt(repeats - uppers)) / BigInt(uppers + 1);
  }
  for (let factor = 2n; factor <= power; factor += 1n) below *= factor;
  return Number((BigInt(CERTAIN) * above) / below);
}

/** Return twice the mean of a spending, in parts of CERTAIN, as a BigInt; a spending is {chances, cents: [low, high]}. */
export function doubledMean({ chances, cents }) {
  return BigInt(chances.reduce((sum, chance) => sum + chance, 0)) * BigInt(cents[0] + cents[1]);
}

export function middleOf(doubledMeans) {
  return Number(doubledMeans / BigInt(2 * CERTAIN));
}

/** Return the range that leaves out one case in ten at each end. */
export function eightInTen(spendings) {
  const sure = spendings.reduce((sum, spending) => sum + sureTimes(spending) * spending.cents[0], 0);
  const most = spendings.reduce((sum, { chances, cents }) => sum + chances.length * cents[1], 0);
  const step = Math.max(1, Math.ceil((most - sure) / STEPS));
  const weights = spendings.reduce((found, spending) => convolved(found, spread(spending, step)), [WHOLE]);
  return [1, 9].map((tenth) => Math.min(Math.max(sure + quantile(weights, tenth, step), sure), most));
}

const sureTimes = ({ chances }) => chances.filter((chance) => chance === CERTAIN).length;
const nearest = (cents, step) => Math.floor((2 * cents + step) / (2 * step));

function spread(spending, step) {
  const {
    cents: [low, high],
  } = spending;
  const [chances, sure] = [[...spending.chances, 0], sureTimes(spending)];
  const weights = new Float64Array(nearest(spending.chances.length * high - sure * low, step) + 1);
  for (let times = sure; times < chances.length; times += 1) {
    const chance = (times > 0 ? chances[times - 1] : CERTAIN) - chances[times];
    const [from, to] = [times * low - sure * low, times * high - sure * low];
    const width = 2 * (to - from);
    let before = 0;
    for (let place = nearest(from, step); place <= nearest(to, step); place += 1) {
      const below = Math.min(Math.max((2 * place + 1) * step - 2 * from, 0), width);
      const until = below === width ? chance : partOf(chance, below, width);
      weights[place] += until - before;
      before = until;
    }
  }
  return weights;
}

// Mostly without BigInts, which are slow.
function partOf(chance, below, width) {
  if (chance * below < Number.MAX_SAFE_INTEGER) return Math.floor((chance * below) / width);
  return Number((BigInt(chance) * BigInt(below)) / BigInt(width));
}

function convolved(weights, others) {
  const sums = new Float64Array(weights.length + others.length - 1);
  for (let other = 0; other < others.length; other += 1) {
    const factor = others[other];
    if (factor > 0)
      for (let place = 0; place < weights.length; place += 1) sums[place + other] += weights[place] * factor;
  }
  return sums.map((sum) => Math.floor(sum / CERTAIN));
}

function quantile(weights, tenth, step) {
  const sought = tenth * weights.reduce((sum, weight) => sum + weight, 0);
  let [below, place] = [0, 0];
  while (10 * (below + weights[place]) < sought) {
    below += weights[place];
    place += 1;
  }
  const part = Math.floor((64 * (sought - 10 * below)) / (10 * weights[place]));
  return Math.floor((step * (64 * place - 32 + part)) / 64);
}

/** Return a figure to plan with, rounded as one would say it: {about, likely: [low, high]}; null where there is none. */
export function planOf({ least, most, middle, likely }) {
  if (middle === null) return null;
  const step = roundedTo(middle);
  const about = Math.floor((2 * middle + step) / (2 * step)) * step;
  return { about: Math.min(Math.max(about, least), most), likely: likely && likelyOf(likely, least, most) };
}

function likelyOf([low, high], least, most) {
  const [lowStep, highStep] = [roundedTo(low), roundedTo(high)];
  return [
    Math.max(Math.floor(low / lowStep) * lowStep, least),
    Math.min(Math.ceil(high / highStep) * highStep, most),
  ];
}

function roundedTo(cents) {
  return /** @type {number[]} */ (ROUNDED_TO.find(([below]) => cents < below))[1];
}
