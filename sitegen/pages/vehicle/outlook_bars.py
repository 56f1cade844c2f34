"""Bars of the outlook on a time axis of three years and later.

Coordinates are whole thousandths of the axis, so that the script `outlook-bars.mjs` computes the same for another
distance a year.
"""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.values import WholeSpan

LINE = 1000
THREE_YEARS = 800
"""The end of the third year on the axis. Later times are compressed toward the end of the axis."""
MONTHS = 36
THINNEST = 20


@dataclass(frozen=True)
class Bar:
    """A bar in thousandths of the axis. Without a known end it reaches beyond the axis."""

    x: int
    width: int


def time_bar(months: WholeSpan | None) -> Bar | None:
    """Return the bar of an interval in months: 4 to 18 is 88 to 400. 36 and more begins at 800. None stays None."""
    if months is None:
        return None
    start = _place(months.low)
    end = LINE + THINNEST if months.high is None else _place(months.high)
    return Bar(start, max(end - start, THINNEST))


def _place(months: int) -> int:
    if months <= MONTHS:
        return months * THREE_YEARS // MONTHS
    return LINE - (LINE - THREE_YEARS) * MONTHS // months
