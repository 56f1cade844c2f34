"""The outlook as bars: from when to when, on a line of three years and later.

Whole thousandths of the line's length, so that the page draws the very same for other miles a year: see
`outlook-bars.mjs` of the theme.
"""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.values import WholeSpan

LINE = 1000
THREE_YEARS = 800
"""Where the third year ends; what comes later draws together towards the end of the line."""
MONTHS = 36
THINNEST = 20


@dataclass(frozen=True)
class Bar:
    """A stretch of a line, in thousandths of it; beyond its end where nobody can say how long."""

    x: int
    width: int


def time_bar(months: WholeSpan | None) -> Bar | None:
    """Return the bar of an interval in months: 4 to 18 is 88 to 400, and 36 and more begins at 800."""
    if months is None:
        return None
    start = _place(months.low)
    end = LINE + THINNEST if months.high is None else _place(months.high)
    return Bar(start, max(end - start, THINNEST))


def _place(months: int) -> int:
    if months <= MONTHS:
        return months * THREE_YEARS // MONTHS
    return LINE - (LINE - THREE_YEARS) * MONTHS // months
