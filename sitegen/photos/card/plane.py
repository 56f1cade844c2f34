"""The plane that a card lies in: map pixels of the photo to millimeters on the panel, and back. Pure.

A camera maps one plane to another by a homography, which four corners determine: the closed form for a square is in
P. Heckbert, Fundamentals of Texture Mapping and Image Warping (1989), 2.2.3. The inverse is its adjugate matrix.
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
    """A plane in a photo. Its millimeters count from the card's center, with x along the card's first side."""

    to_photo: Matrix
    to_card: Matrix

    def in_photo(self, point: Point) -> Point:
        """Return the pixel coordinates of a point of the plane, which is given in millimeters."""
        return _transform(self.to_photo, point)

    def on_card(self, point: Point) -> Point:
        """Return the coordinates in the plane, in millimeters, of a point that is given in pixels."""
        return _transform(self.to_card, point)

    def is_before_camera(self, point: Point) -> bool:
        """Return whether a pixel is on the card's side of the plane's horizon."""
        center = _transform(self.to_photo, (0, 0))
        return (_homogeneous(self.to_card, point) > 0) is (_homogeneous(self.to_card, center) > 0)


def plane_of(corners: Sequence[Point], length: float, width: float) -> Plane:
    """Return the plane of a card from the pixels of its four corners, in order round the card, a long side first.

    `length` and `width` are the card's sides in millimeters. Raises ZeroDivisionError if three corners are collinear.
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


def distance(start: Point, end: Point) -> float:
    """Return the distance of two points, in their own unit."""
    x, y = end[0] - start[0], end[1] - start[1]
    return math.sqrt(x * x + y * y)


def seen_share(plane: Plane) -> float:
    """Return the foreshortening at the card: 1 if it is seen straight on, 0 if it is seen edge-on.

    It is the ratio of the singular values of the map's derivative at the card's center, which is the cosine of the
    angle of view.
    """
    (a, b, c), (d, e, f), (g, h, i) = plane.to_photo
    p, q, r, s = a * i - c * g, b * i - c * h, d * i - f * g, e * i - f * h
    together, product = p * p + q * q + r * r + s * s, abs(p * s - q * r)
    longer = (together + math.sqrt(max(together * together - 4 * product * product, 0.0))) / 2
    return product / longer


def _transform(matrix: Matrix, point: Point) -> Point:
    x, y = point
    (a, b, c), (d, e, f), _ = matrix
    scale = _homogeneous(matrix, point)
    return (a * x + b * y + c) / scale, (d * x + e * y + f) / scale


def _homogeneous(matrix: Matrix, point: Point) -> float:
    """Return the third homogeneous coordinate of a transformed point."""
    g, h, i = matrix[2]
    return g * point[0] + h * point[1] + i


def _adjugate(matrix: Matrix) -> Matrix:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    return (
        (e * i - f * h, c * h - b * i, b * f - c * e),
        (f * g - d * i, a * i - c * g, c * d - a * f),
        (d * h - e * g, b * g - a * h, a * e - b * d),
    )
