"""Compute ruler drawings: measured depths on a scale, with the limit and the tick marks of a gauge.

A drawing is 1,200 units wide, whatever its scale. A template draws it from the coordinates computed here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

WIDTH = 1_200
HEIGHT = 330
_EDGE = 36
_TOP, _BOTTOM = 70, 220
_HATCH_STEP = 30


@dataclass(frozen=True)
class Tick:
    """A tick mark: its x coordinate, its length, and its number if it has one."""

    x: int
    length: int
    number: str | None


@dataclass(frozen=True)
class Ruler:
    """A ruler from zero to the first numbered tick at or above every figure. Coordinates are in drawing units."""

    words: str
    """The text alternative of the drawing."""
    ticks: tuple[Tick, ...]
    limit_x: int
    hatching: str
    """SVG path of the slanted lines from zero to the limit."""
    lowest_x: int | None
    pointer: str | None
    """SVG path of the pointer above the lowest figure."""
    others_x: tuple[int, ...]
    zero_x: int = _EDGE
    length: int = WIDTH - 2 * _EDGE
    top: int = _TOP
    bottom: int = _BOTTOM
    breadth: int = _BOTTOM - _TOP
    width: int = WIDTH
    height: int = HEIGHT


def ruler(
    words: str,
    lowest: Fraction | None,
    others: Iterable[Fraction],
    limit: Fraction,
    full_scale: Fraction,
    numbered_every: int,
) -> Ruler:
    """Return a ruler with a tick for each unit. All figures are in the same unit: 32nds of an inch, or millimeters.

    The scale starts at zero and ends at the first numbered tick that is not below any figure or `full_scale`.
    """
    others = tuple(others)
    largest = max([full_scale, *others, *([] if lowest is None else [lowest])])
    end = math.ceil(largest / numbered_every) * numbered_every

    def place(figure: Fraction | int) -> int:
        return _EDGE + round(Fraction(figure) * (WIDTH - 2 * _EDGE) / end)

    return Ruler(
        words=words,
        ticks=tuple(
            Tick(
                place(step),
                110 if step % numbered_every == 0 else 60,
                str(step) if step % numbered_every == 0 else None,
            )
            for step in range(end + 1)
        ),
        limit_x=place(limit),
        hatching=_hatching(_EDGE, place(limit)),
        lowest_x=None if lowest is None else place(lowest),
        pointer=None if lowest is None else f"M{place(lowest) - 44} 0h88l-44 66z",
        others_x=tuple(sorted({place(other) for other in others} - {lowest and place(lowest)})),
    )


def _hatching(start: int, end: int) -> str:
    """Return the SVG path of 45-degree lines that rise to the right, clipped at both ends of the zone."""
    breadth = _BOTTOM - _TOP
    lines = []
    for foot in range(start - breadth + _HATCH_STEP, end, _HATCH_STEP):
        left, right = max(foot, start), min(foot + breadth, end)
        lines.append(f"M{left} {_BOTTOM - (left - foot)}L{right} {_BOTTOM - (right - foot)}")
    return "".join(lines)
