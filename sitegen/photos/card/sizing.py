"""Compute the length of a span in a photo from a card beside it: an interval, or the reason why there is none.

Pure: coordinates as fractions of the upright photo in, millimeters out. The browser's `card-size.js` computes the
same.

Two sources of error make the interval. First, a tap is up to 3 of 1,600 pixels off in each direction. The error is
uniformly distributed, so its standard uncertainty is its half-width divided by the square root of 3 (JCGM 100:2008,
4.3.7), and each of the twelve coordinates contributes in proportion to its slope (5.1.2). Second, a panel is not
quite flat. The plane is the card's; a panel bent to a radius R lies d squared / 2R behind that plane at a distance
d. If the line of sight is oblique, this shifts the point that is seen; the shift follows from the position of the
camera, which is computed with the usual focal length of phones. The bend is uniformly distributed too, from none to
the largest that is allowed for. The interval is the length plus and minus twice the combined standard uncertainty
(6.2.1), which covers about 95 in 100 cases.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from sitegen.photos.card.plane import Plane, Point, distance, plane_of, seen_share
from sitegen.photos.opening.limits import CardLimits
from sitegen.records.disclosure import is_convex

LONGER_SIDE = 1600
"""Coordinates are scaled so that the photo's longer side has this many pixels, whatever its real size."""


class NotMeasured(StrEnum):
    """The reason why a card gives no size."""

    CROSSED = "crossed"
    SMALL = "small"
    FLAT = "flat"
    FAR = "far"
    UNCERTAIN = "uncertain"


@dataclass(frozen=True)
class CardSize:
    """A size in millimeters: the interval from `low` to `high`, and the best estimate, `about`."""

    about: float
    low: float
    high: float


def size_by_card(
    card: Sequence[Point], span: Sequence[Point], width: int, height: int, limits: CardLimits
) -> CardSize | NotMeasured:
    """Return the straight distance between the two ends of `span`, or the reason why the card does not give it.

    Coordinates are fractions of the upright photo, which is `width` by `height` pixels. The four corners of `card` go
    round the card, a long side first. Where the card is seen straight on and its 85.60 mm cover 428 pixels, a span of
    500 pixels is 100 mm long.
    """
    corners, ends = pixels(card, width, height), pixels(span, width, height)
    if not is_convex(corners):
        return NotMeasured.CROSSED
    if min(distance(corners[place - 1], corners[place]) for place in range(4)) < limits.shorter_side_at_least:
        return NotMeasured.SMALL
    plane = plane_of(corners, limits.length, limits.width)
    if seen_share(plane) < limits.seen_share_at_least:
        return NotMeasured.FLAT
    farthest = limits.card_lengths_at_most * limits.length
    if any(not plane.is_before_camera(end) or distance((0, 0), plane.on_card(end)) > farthest for end in ends):
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
    """Convert coordinates from fractions of a photo to pixels of a photo whose longer side has 1,600 pixels."""
    scale = LONGER_SIDE / max(width, height)
    return [(x * width * scale, y * height * scale) for x, y in places]


def _length(corners: Sequence[Point], ends: Sequence[Point], limits: CardLimits) -> float:
    plane = plane_of(corners, limits.length, limits.width)
    return distance(plane.on_card(ends[0]), plane.on_card(ends[1]))


def _by_taps(corners: Sequence[Point], ends: Sequence[Point], limits: CardLimits) -> float:
    """Return the sum of squares of the length changes, in millimeters, that the largest tap errors cause."""
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
    """Return the largest shift of the ends along the span, in millimeters, on a panel of the smallest radius."""
    (camera_x, camera_y), above = _camera(plane, center, limits.focal_length * LONGER_SIDE)
    start, end = (plane.on_card(point) for point in ends)
    length = distance(start, end)
    if length == 0:
        return 0.0
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    shifts = []
    for x, y in (start, end):
        behind = (x * x + y * y) / (2 * limits.panel_radius)
        shifts.append(behind * ((x - camera_x) * along[0] + (y - camera_y) * along[1]) / above)
    return max(abs(shifts[0]), abs(shifts[1]), abs(shifts[1] - shifts[0]))


def _camera(plane: Plane, center: Point, focal: float) -> tuple[Point, float]:
    """Return the camera's foot point in the plane and its height above the plane, in millimeters."""
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


def _dot(first: Sequence[float], second: Sequence[float]) -> float:
    return first[0] * second[0] + first[1] * second[1] + first[2] * second[2]


def _cross(first: Sequence[float], second: Sequence[float]) -> tuple[float, float, float]:
    return (
        first[1] * second[2] - first[2] * second[1],
        first[2] * second[0] - first[0] * second[2],
        first[0] * second[1] - first[1] * second[0],
    )
