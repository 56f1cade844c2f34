// The outlook as bars: whole thousandths of a line, the very same as sitegen/pages/vehicle/outlook_bars.py. Pure.

const [LINE, THREE_YEARS, MONTHS, THINNEST] = [1_000, 800, 36, 20];

/**
 * Return {x, width} of an interval in months, in which an unknown end is null. Return null without a basis.
 * @param {Span | null} months
 */
export function timeBar(months) {
  if (months === null) return null;
  const [low, high] = months;
  const x = place(low);
  return { x, width: Math.max((high === null ? LINE + THINNEST : place(high)) - x, THINNEST) };
}

/** @param {number} months */
function place(months) {
  return months <= MONTHS
    ? Math.floor((months * THREE_YEARS) / MONTHS)
    : LINE - Math.floor(((LINE - THREE_YEARS) * MONTHS) / months);
}
