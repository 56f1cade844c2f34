// Redraws rulers on one scale, so that equal depths are at the same place for every vehicle. A ruler has a tick
// for every unit from zero on, as sitegen/pages/vehicle/measured/rulers.py draws it.

const POINTER_HALF = 44;

/**
 * Give rulers, in place, the scale of the longest among them.
 * @param {Part[]} rulers
 */
export function onOneScale(rulers) {
  const ends = rulers.map((ruler) => pathOf(ruler, "ticks").split("M").length - 2);
  const end = Math.max(...ends);
  const longest = rulers[ends.indexOf(end)];
  rulers.forEach((ruler, place) => {
    if (ends[place] < end) redraw(ruler, ends[place] / end, longest);
  });
}

/** @param {Part} ruler @param {number} share @param {Part} longest */
function redraw(ruler, share, longest) {
  const body = ruler.querySelector(".ruler-body");
  const [zero, top, breadth] = ["x", "y", "height"].map((name) => Number(body.getAttribute(name)));
  /** @param {number} x */
  const moved = (x) => Math.round(zero + (x - zero) * share);
  const limit = moved(startOf(pathOf(ruler, "limit-edge")));
  /** @param {string} name @param {(d: string) => string} written */
  const write = (name, written) => {
    for (const line of ruler.querySelectorAll(`.ruler-${name}`))
      line.setAttribute("d", written(line.getAttribute("d")));
  };
  for (const name of ["limit-edge", "other", "lowest"]) write(name, (d) => movedTo(d, moved(startOf(d))));
  write("pointer", (d) => movedTo(d, moved(startOf(d) + POINTER_HALF) - POINTER_HALF));
  write("limit", () => hatching(zero, limit, top + breadth, breadth));
  write("ticks", () => pathOf(longest, "ticks"));
  for (const number of ruler.querySelectorAll(".ruler-number")) number.remove();
  ruler.append(...[...longest.querySelectorAll(".ruler-number")].map((number) => number.cloneNode(true)));
}

/**
 * Return slanted lines that fill the zone from zero to the limit, cut at both ends; see rulers.py.
 * @param {number} start
 * @param {number} end
 * @param {number} bottom
 * @param {number} breadth
 */
export function hatching(start, end, bottom, breadth, step = 30) {
  let lines = "";
  for (let foot = start - breadth + step; foot < end; foot += step) {
    const [left, right] = [Math.max(foot, start), Math.min(foot + breadth, end)];
    lines += `M${left} ${bottom - (left - foot)}L${right} ${bottom - (right - foot)}`;
  }
  return lines;
}

/** @param {Part} ruler @param {string} name @returns {string} */
function pathOf(ruler, name) {
  return ruler.querySelector(`.ruler-${name}`).getAttribute("d");
}

/** @param {string} d */
function startOf(d) {
  return Number(/** @type {RegExpExecArray} */ (/^M(-?\d+)/.exec(d))[1]);
}

/** @param {string} d @param {number} x */
function movedTo(d, x) {
  return d.replace(/^M-?\d+/, `M${x}`);
}
