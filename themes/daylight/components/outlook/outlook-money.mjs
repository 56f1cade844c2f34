// How likely an item comes within a stretch of time, how money spreads over it, and how a figure is said. Pure: whole
// numbers in, whole numbers out, the very same as chances.py, distribution.py and plan.py of sitegen/condition/outlook,
// which say how. Numbers stay below 2 ** 53, or are BigInts, so that nothing is rounded but where it says so.

export const CERTAIN = 2 ** 22;
export const STEPS = 256;
export const WHOLE = 2 ** 30;
const SMALLER = 2 ** 6;
const ROUNDED_TO = [
  [20_000, 1_000],
  [200_000, 5_000],
  [1_000_000, 10_000],
  [Number.POSITIVE_INFINITY, 50_000],
];
const [ABOVE, HELD] = [95, 810];

/**
 * Return the chances of at least one, two, ... needs before `end`, as parts of CERTAIN, as long as there is any; `needs`
 * is {earliest, latest, again}, an open end is null.
 * @param {{ earliest: number, latest: number | null, again: Span | null }} needs
 * @param {number} end
 * @param {number} mayBeDue
 */
export function chancesBefore({ earliest, latest, again }, end, mayBeDue) {
  const firstWidth = latest === null ? 0 : latest - earliest;
  const repeat = again?.[0] ?? 0;
  const repeatWidth = (again?.[1] ?? repeat) - repeat;
  /** @type {number[]} */
  const found = [];
  for (let left = end - earliest; left > 0; left = end - earliest - found.length * repeat) {
    /** @type {number} */
    let chance;
    if (latest === null || (found.length > 0 && again !== null && again[1] === null)) {
      chance = partOf(CERTAIN, left, end);
      if (latest === null && earliest === 0) chance = Math.floor((chance * mayBeDue) / 100);
      chance = Math.min(chance, sumBelow(left, 0, repeatWidth, found.length));
    } else chance = sumBelow(left, firstWidth, repeatWidth, found.length);
    if (found.length > 0) chance = Math.min(chance, found[found.length - 1]);
    if (chance === 0) break;
    found.push(chance);
    if (again === null) break;
  }
  return found;
}

/** @param {number} limit @param {number} first @param {number} other @param {number} others */
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
  for (let number = 2n; number <= power; number += 1n) below *= number;
  return Number((BigInt(CERTAIN) * above) / below);
}

/**
 * Return the distribution of a sum of spendings, {chances, cents}, in steps of money; `start` is what it begins with.
 * @param {ArrayLike<number>} start
 * @returns {ArrayLike<number>}
 * @param {Spending[]} spendings
 * @param {number} step
 */
export function sumOf(spendings, step, start = [WHOLE]) {
  return spendings.reduce((weights, spending) => convolved(weights, spread(spending, step)), start);
}

/**
 * Return the mixture of distributions that are equally likely.
 * @param {Weights[]} parts
 */
export function mixed(parts) {
  const weights = new Float64Array(Math.max(...parts.map(({ length }) => length)));
  for (const part of parts) for (let place = 0; place < part.length; place += 1) weights[place] += part[place];
  return weights.map((weight) => Math.floor(weight / parts.length));
}

/** @param {number} cents @param {number} step */
const nearest = (cents, step) => Math.floor((2 * cents + step) / (2 * step));

/** @param {Spending} spending @param {number} step */
function spread(spending, step) {
  const {
    cents: [low, high],
  } = spending;
  const chances = [...spending.chances, 0];
  const weights = new Float64Array(nearest(spending.chances.length * high, step) + 1);
  for (let times = 0; times < chances.length; times += 1) {
    const chance = (times > 0 ? chances[times - 1] : CERTAIN) - chances[times];
    if (chance === 0) continue;
    const [from, to] = [times * low, times * high];
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
/** @param {number} whole @param {number} part @param {number} of */
function partOf(whole, part, of) {
  if (whole * part < Number.MAX_SAFE_INTEGER) return Math.floor((whole * part) / of);
  return Number((BigInt(whole) * BigInt(part)) / BigInt(of));
}

/** @param {Weights} weights @param {Weights} others */
function convolved(weights, others) {
  const sums = new Float64Array(weights.length + others.length - 1);
  for (let other = 0; other < others.length; other += 1) {
    const factor = others[other];
    if (factor > 0)
      for (let place = 0; place < weights.length; place += 1) sums[place + other] += weights[place] * factor;
  }
  return sums.map((sum) => Math.floor(sum / CERTAIN));
}

/**
 * Return the shares of cases below an amount, where every price is multiplied by one of some equally likely levels.
 * @param {Weights} distribution
 * @param {number} step
 * @param {number[]} levels
 * @returns {Shares}
 */
export function sharesOf(distribution, step, levels) {
  const weights = Array.from(distribution, (weight) => Math.floor(weight / SMALLER));
  const belows = [0];
  for (const weight of weights) belows.push(belows[belows.length - 1] + weight);
  /** @param {number} cents @param {number} level */
  const atLevel = (cents, level) => {
    const [size, amount] = [2 * level * step, 2000 * cents + level * step];
    const place = Math.floor(amount / size);
    if (place >= weights.length) return belows[belows.length - 1];
    return belows[place] + partOf(weights[place], amount - place * size, size);
  };
  return {
    whole: belows[belows.length - 1] * levels.length,
    none: weights[0] * levels.length,
    most: Math.ceil(((2 * weights.length - 1) * step * Math.max(...levels)) / 2000),
    below: (cents) => levels.reduce((sum, level) => sum + atLevel(cents, level), 0),
  };
}

/**
 * Return {about, low, high}: the low end of what is known, the high end of the worst that it may be.
 * @param {number} mean
 * @param {Shares} known
 * @param {Shares} worst
 * @returns {Figure}
 */
export function planFigure(mean, known, worst) {
  const high = highEnd(worst);
  const step = roundedTo(high);
  const mostBelow = known.below(high) - Math.floor((known.whole * HELD) / 1000);
  let low = 0;
  while (low + step <= high && known.below(low + step) <= mostBelow) low += step;
  const aboutStep = roundedTo(mean);
  const about = Math.floor((2 * mean + aboutStep) / (2 * aboutStep)) * aboutStep;
  return { about: Math.min(Math.max(about, low), high), low, high };
}

/** @param {Shares} shares */
function highEnd(shares) {
  const enough = shares.whole * (1000 - ABOVE);
  if (shares.none * 1000 >= enough) return 0;
  let [low, high] = [0, shares.most];
  while (high - low > ROUNDED_TO[0][1]) {
    const middle = Math.floor((low + high) / 2);
    if (shares.below(middle) * 1000 >= enough) high = middle;
    else low = middle;
  }
  const step = roundedTo(low);
  let place = Math.floor(low / step) * step;
  while (shares.below(place) * 1000 < enough) place += roundedTo(place);
  return place;
}

/** @param {number} cents */
function roundedTo(cents) {
  return /** @type {number[]} */ (ROUNDED_TO.find(([below]) => cents < below))[1];
}
