// The size of what is seen in a photo, by a card that lies beside it. Pure: places as fractions of the upright photo in,
// millimeters out, the very same as sitegen/photos/card/sizing.py, whose docstring says how. Both are tested on the same
// views. A classic script, for a page opened from a disk loads no modules: it brings `bay.sizeByCard`.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.sizeByCard = (() => {
  const LONGER_SIDE = 1600;

  /**
   * Return {about, low, high} in millimeters, the straight distance between the two ends of `span`, or {refused: reason}:
   * crossed, small, flat, far or uncertain. `card` holds four corners and `span` two ends, each {x, y}; `limits` is what
   * `card` holds in content/reference/photos.yaml.
   */
  function sizeByCard(card, span, width, height, limits) {
    const corners = inPixels(card, width, height);
    const ends = inPixels(span, width, height);
    if (!isConvex(corners)) return { refused: "crossed" };
    const sides = corners.map((corner, place) => apart(corners[(place + 3) % 4], corner));
    if (Math.min(...sides) < limits.shorter_side_at_least) return { refused: "small" };
    const plane = planeOf(corners, limits);
    if (seenShare(plane) < limits.seen_share_at_least) return { refused: "flat" };
    const farthest = limits.card_lengths_at_most * limits.length;
    const ahead = third(plane.toCard, mapped(plane.toPhoto, [0, 0])) > 0;
    const isFar = (end) =>
      third(plane.toCard, end) > 0 !== ahead || apart([0, 0], mapped(plane.toCard, end)) > farthest;
    if (ends.some(isFar)) return { refused: "far" };
    const about = lengthOf([...corners, ...ends], limits);
    const scale = LONGER_SIDE / Math.max(width, height);
    const byBend = bendOf(plane, ends, [(width * scale) / 2, (height * scale) / 2], limits);
    const expanded = 2 * Math.sqrt((squaredByTaps([...corners, ...ends], limits) + byBend * byBend) / 3);
    if (!(expanded < limits.uncertain_share_at_most * about)) return { refused: "uncertain" };
    return { about, low: about - expanded, high: about + expanded };
  }

  function inPixels(places, width, height) {
    const scale = LONGER_SIDE / Math.max(width, height);
    return places.map(({ x, y }) => [x * width * scale, y * height * scale]);
  }

  function isConvex(corners) {
    const turns = corners.map(([x, y], place) => {
      const [[beforeX, beforeY], [afterX, afterY]] = [corners[(place + 3) % 4], corners[(place + 1) % 4]];
      return (x - beforeX) * (afterY - y) - (y - beforeY) * (afterX - x);
    });
    return turns.every((turn) => turn > 0) || turns.every((turn) => turn < 0);
  }

  function apart(one, other) {
    const [x, y] = [other[0] - one[0], other[1] - one[1]];
    return Math.sqrt(x * x + y * y);
  }

  function planeOf(corners, limits) {
    const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners;
    const [sumX, sumY] = [x0 - x1 + x2 - x3, y0 - y1 + y2 - y3];
    const [byX, byY, downX, downY] = [x1 - x2, y1 - y2, x3 - x2, y3 - y2];
    const area = byX * downY - byY * downX;
    const g = (sumX * downY - sumY * downX) / area;
    const h = (byX * sumY - byY * sumX) / area;
    const square = [
      [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
      [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
      [g, h, 1],
    ];
    const toPhoto = square.map(([a, b, c]) => [a / limits.length, b / limits.width, a / 2 + b / 2 + c]);
    return { toPhoto, toCard: adjugate(toPhoto) };
  }

  function adjugate([[a, b, c], [d, e, f], [g, h, i]]) {
    return [
      [e * i - f * h, c * h - b * i, b * f - c * e],
      [f * g - d * i, a * i - c * g, c * d - a * f],
      [d * h - e * g, b * g - a * h, a * e - b * d],
    ];
  }

  function mapped(matrix, place) {
    const [[a, b, c], [d, e, f]] = matrix;
    const [x, y] = place;
    const by = third(matrix, place);
    return [(a * x + b * y + c) / by, (d * x + e * y + f) / by];
  }

  function third(matrix, [x, y]) {
    const [g, h, i] = matrix[2];
    return g * x + h * y + i;
  }

  function seenShare({ toPhoto: [[a, b, c], [d, e, f], [g, h, i]] }) {
    const [p, q, r, s] = [a * i - c * g, b * i - c * h, d * i - f * g, e * i - f * h];
    const [together, product] = [p * p + q * q + r * r + s * s, Math.abs(p * s - q * r)];
    return product / ((together + Math.sqrt(Math.max(together * together - 4 * product * product, 0))) / 2);
  }

  function lengthOf(places, limits) {
    const { toCard } = planeOf(places.slice(0, 4), limits);
    return apart(mapped(toCard, places[4]), mapped(toCard, places[5]));
  }

  function squaredByTaps(places, limits) {
    let total = 0;
    for (const [number, [x, y]] of places.entries()) {
      for (const [stepX, stepY] of [
        [limits.tap_error, 0],
        [0, limits.tap_error],
      ]) {
        const [more, less] = [
          places.with(number, [x + stepX, y + stepY]),
          places.with(number, [x - stepX, y - stepY]),
        ];
        const slope = (lengthOf(more, limits) - lengthOf(less, limits)) / 2;
        total += slope * slope;
      }
    }
    return total;
  }

  function bendOf(plane, ends, center, limits) {
    const camera = cameraOf(plane, center, limits.focal_length * LONGER_SIDE);
    const [one, other] = ends.map((end) => mapped(plane.toCard, end));
    const long = apart(one, other);
    if (long === 0) return 0;
    const along = [(other[0] - one[0]) / long, (other[1] - one[1]) / long];
    const moved = [one, other].map(([x, y]) => {
      const behind = (x * x + y * y) / (2 * limits.panel_radius);
      return (behind * ((x - camera.x) * along[0] + (y - camera.y) * along[1])) / camera.above;
    });
    return Math.max(Math.abs(moved[0]), Math.abs(moved[1]), Math.abs(moved[1] - moved[0]));
  }

  function cameraOf({ toPhoto: [[a, b, c], [d, e, f], [g, h, i]] }, [x, y], focal) {
    const first = [(a - x * g) / focal, (d - y * g) / focal, g];
    const second = [(b - x * h) / focal, (e - y * h) / focal, h];
    const origin = [(c - x * i) / focal, (f - y * i) / focal, i];
    const scale = Math.sqrt(Math.sqrt(dot(first, first) * dot(second, second)));
    const normal = cross(first, second);
    const area = Math.sqrt(dot(normal, normal));
    const upright = normal.map((part) => part / area);
    const whole = dot(first, cross(second, upright));
    return {
      x: -dot(origin, cross(second, upright)) / whole,
      y: -dot(origin, cross(upright, first)) / whole,
      above: Math.abs(dot(origin, upright)) / scale,
    };
  }

  function dot(one, other) {
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
  }

  function cross(one, other) {
    return [
      one[1] * other[2] - one[2] * other[1],
      one[2] * other[0] - one[0] * other[2],
      one[0] * other[1] - one[1] * other[0],
    ];
  }

  return sizeByCard;
})();
