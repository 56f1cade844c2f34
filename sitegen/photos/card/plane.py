"""The plane that a card lies in: from places in the photo to millimeters on the panel, and back. Pure.

A camera maps one plane to another by a homography, and four corners fix it: the closed form for a square is in
P. Heckbert, Fundamentals of Texture Mapping and Image Warping (1989), 2.2.3. The way back is its adjugate matrix.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Row = tuple[float, float, float]
Matrix = tuple[Row, Row, Row]


@dataclass(frozen=True)
class Plane:
    """A plane in a photo. Millimeters count from the card's center, x along its first side."""

    to_photo: Matrix
    to_card: Matrix

    def in_photo(self, place: Point) -> Point:
        """Return where a place of the plane, in millimeters, stands in the photo."""
        return _mapped(self.to_photo, place)

    def on_card(self, place: Point) -> Point:
        """Return where a place of the photo lies in the plane, in millimeters."""
        return _mapped(self.to_card, place)

    def is_before_camera(self, place: Point) -> bool:
        """Tell whether a place of the photo is on the card's side of the plane's horizon."""
        return (_third(self.to_card, place) > 0) is (_third(self.to_card, _mapped(self.to_photo, (0, 0))) > 0)


def plane_of(corners: Sequence[Point], length: float, width: float) -> Plane:
    """Return the plane of a card of so many millimeters by its four corners in order, a long side first.

    Raises ZeroDivisionError where three corners stand on one line.
    """
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    sum_x, sum_y = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    by_x, by_y, down_x, down_y = x1 - x2, y1 - y2, x3 - x2, y3 - y2
    area = by_x * down_y - by_y * down_x
    g = (sum_x * down_y - sum_y * down_x) / area
    h = (by_x * sum_y - by_y * sum_x) / area
    square = ((x1 - x0 + g * x1, x3 - x0 + h * x3, x0), (y1 - y0 + g * y1, y3 - y0 + h * y3, y0), (g, h, 1.0))
    # From the unit square to millimeters about the card's center.
    to_photo = tuple((a / length, b / width, a / 2 + b / 2 + c) for a, b, c in square)
    return Plane((to_photo[0], to_photo[1], to_photo[2]), _adjugate((to_photo[0], to_photo[1], to_photo[2])))


def apart(one: Point, other: Point) -> float:
    """Return how far two places are from each other."""
    x, y = other[0] - one[0], other[1] - one[1]
    return math.sqrt(x * x + y * y)


def seen_share(plane: Plane) -> float:
    """Return how much of its width a small circle at the card keeps: 1 seen straight on, 0 seen along the panel.

    It is the ratio of the singular values of the map's derivative there: the cosine of the angle of view.
    """
    (a, b, c), (d, e, f), (g, h, i) = plane.to_photo
    p, q, r, s = a * i - c * g, b * i - c * h, d * i - f * g, e * i - f * h
    together, product = p * p + q * q + r * r + s * s, abs(p * s - q * r)
    longer = (together + math.sqrt(max(together * together - 4 * product * product, 0.0))) / 2
    return product / longer


def _mapped(matrix: Matrix, place: Point) -> Point:
    x, y = place
    (a, b, c), (d, e, f), _ = matrix
    third = _third(matrix, place)
    return (a * x + b * y + c) / third, (d * x + e * y + f) / third


def _third(matrix: Matrix, place: Point) -> float:
    g, h, i = matrix[2]
    return g * place[0] + h * place[1] + i


def _adjugate(matrix: Matrix) -> Matrix:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    return (
        (e * i - f * h, c * h - b * i, b * f - c * e),
        (f * g - d * i, a * i - c * g, c * d - a * f),
        (d * h - e * g, b * g - a * h, a * e - b * d),
    )
