"""The size of what is seen in a photo, by a card that lies beside it: an interval, or the reason why there is none.

Pure: places as fractions of the upright photo in, millimeters out. The browser's `card-size.js` does the same.

Two things make the interval. Whoever taps is up to 3 of 1,600 pixels off, in each direction and anywhere within:
that is a rectangular distribution, whose standard uncertainty is its half-width over the root of 3 (JCGM 100:2008,
4.3.7), and the length carries each of the twelve coordinates by its slope (5.1.2). And a panel is not quite flat:
the plane is the card's, and a panel bent to a radius R falls d squared / 2R behind it at a distance d. Along a line
of sight that leans, that moves what is seen; by how much follows from where the camera was, by the focal length that
phones have. The bend is likewise anywhere between none and the most that is allowed for. The interval is the length,
less and plus twice the combined standard uncertainty (6.2.1), which holds about 95 in 100.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from sitegen.photos.card.plane import Plane, Point, apart, plane_of, seen_share
from sitegen.photos.opening.limits import CardLimits
from sitegen.records.disclosure import is_convex

LONGER_SIDE = 1600
"""Photos are measured as if their longer side had so many pixels, whatever it has."""


class NotMeasured(StrEnum):
    """Why a card gives no size."""

    CROSSED = "crossed"
    SMALL = "small"
    FLAT = "flat"
    FAR = "far"
    UNCERTAIN = "uncertain"


@dataclass(frozen=True)
class CardSize:
    """A size in millimeters: from `low` to `high`, and most likely `about` so much."""

    about: float
    low: float
    high: float


def size_by_card(
    card: Sequence[Point], span: Sequence[Point], width: int, height: int, limits: CardLimits
) -> CardSize | NotMeasured:
    """Return the straight distance between the two ends of `span`, by the corners of `card`, or why there is none.

    Places are fractions of the upright photo, which is `width` by `height` pixels; the four corners go round the
    card, a long side first. Seen straight on, 85.60 mm on 428 pixels, a span of 500 pixels is 100 mm long.
    """
    corners, ends = pixels(card, width, height), pixels(span, width, height)
    if not is_convex(corners):
        return NotMeasured.CROSSED
    if min(apart(corners[place - 1], corners[place]) for place in range(4)) < limits.shorter_side_at_least:
        return NotMeasured.SMALL
    plane = plane_of(corners, limits.length, limits.width)
    if seen_share(plane) < limits.seen_share_at_least:
        return NotMeasured.FLAT
    farthest = limits.card_lengths_at_most * limits.length
    if any(not plane.is_before_camera(end) or apart((0, 0), plane.on_card(end)) > farthest for end in ends):
        return NotMeasured.FAR
    about = _length(corners, ends, limits)
    center = (width * LONGER_SIDE / max(width, height) / 2, height * LONGER_SIDE / max(width, height) / 2)
    by_bend = _by_bend(plane, ends, center, limits)
    variance = (_by_taps(corners, ends, limits) + by_bend * by_bend) / 3
    expanded = 2 * math.sqrt(variance)
    if not expanded < limits.uncertain_share_at_most * about:
        return NotMeasured.UNCERTAIN
    return CardSize(about, about - expanded, about + expanded)


def pixels(places: Sequence[Point], width: int, height: int) -> list[Point]:
    """Return places, as fractions of a photo, in pixels of one whose longer side has 1,600."""
    scale = LONGER_SIDE / max(width, height)
    return [(x * width * scale, y * height * scale) for x, y in places]


def _length(corners: Sequence[Point], ends: Sequence[Point], limits: CardLimits) -> float:
    plane = plane_of(corners, limits.length, limits.width)
    return apart(plane.on_card(ends[0]), plane.on_card(ends[1]))


def _by_taps(corners: Sequence[Point], ends: Sequence[Point], limits: CardLimits) -> float:
    """Return the sum of squares of what each tap's largest error, either way, does to the length."""
    places = [*corners, *ends]
    total = 0.0
    for number, (x, y) in enumerate(places):
        for step_x, step_y in ((limits.tap_error, 0.0), (0.0, limits.tap_error)):
            more, less = list(places), list(places)
            more[number], less[number] = (x + step_x, y + step_y), (x - step_x, y - step_y)
            slope = (_length(more[:4], more[4:], limits) - _length(less[:4], less[4:], limits)) / 2
            total += slope * slope
    return total


def _by_bend(plane: Plane, ends: Sequence[Point], center: Point, limits: CardLimits) -> float:
    """Return how many millimeters a panel of the least radius moves the ends, along the span, at most."""
    (camera_x, camera_y), above = _camera(plane, center, limits.focal_length * LONGER_SIDE)
    one, other = (plane.on_card(end) for end in ends)
    long = apart(one, other)
    if long == 0:
        return 0.0
    along = ((other[0] - one[0]) / long, (other[1] - one[1]) / long)
    moved = []
    for x, y in (one, other):
        behind = (x * x + y * y) / (2 * limits.panel_radius)
        moved.append(behind * ((x - camera_x) * along[0] + (y - camera_y) * along[1]) / above)
    return max(abs(moved[0]), abs(moved[1]), abs(moved[1] - moved[0]))


def _camera(plane: Plane, center: Point, focal: float) -> tuple[Point, float]:
    """Return the place of the plane that the camera was straight above, and how far above, in millimeters."""
    (a, b, c), (d, e, f), (g, h, i) = plane.to_photo
    x, y = center
    first = ((a - x * g) / focal, (d - y * g) / focal, g)
    second = ((b - x * h) / focal, (e - y * h) / focal, h)
    origin = ((c - x * i) / focal, (f - y * i) / focal, i)
    scale = math.sqrt(math.sqrt(_dot(first, first) * _dot(second, second)))
    normal = _cross(first, second)
    area = math.sqrt(_dot(normal, normal))
    upright = (normal[0] / area, normal[1] / area, normal[2] / area)
    whole = _dot(first, _cross(second, upright))
    place = (
        -_dot(origin, _cross(second, upright)) / whole,
        -_dot(origin, _cross(upright, first)) / whole,
    )
    return place, abs(_dot(origin, upright)) / scale


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def _cross(one: Sequence[float], other: Sequence[float]) -> tuple[float, float, float]:
    return (
        one[1] * other[2] - one[2] * other[1],
        one[2] * other[0] - one[0] * other[2],
        one[0] * other[1] - one[1] * other[0],
    )
