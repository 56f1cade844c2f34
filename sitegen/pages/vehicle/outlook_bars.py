"""The outlook as bars: from when to when, on a line of three years and later, and from the least money to the most.

Whole thousandths of the line's length, so that the page draws the very same for other miles a year: see
`outlook-bars.mjs` of the theme.
"""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.forecast import Outlook, WindowCost
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.plan import plan_of

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


@dataclass(frozen=True)
class MoneyBar:
    """A stretch from the least to the most, and where the figure to plan with is."""

    x: int
    width: int
    about: int | None


def time_bar(months: WholeSpan | None) -> Bar | None:
    """Return the bar of an interval in months: 4 to 18 is 88 to 400, and 36 and more begins at 800."""
    if months is None:
        return None
    start = _place(months.low)
    end = LINE + THINNEST if months.high is None else _place(months.high)
    return Bar(start, max(end - start, THINNEST))


def money_bars(outlook: Outlook) -> tuple[MoneyBar, ...]:
    """Return the bars of each year and of all three, drawn to one scale, which ends with the most of all."""
    costs = (*outlook.years, outlook.whole)
    top = max((cost.most for cost in costs), default=0) or 1
    return tuple(_money_bar(cost, top) for cost in costs)


def _money_bar(cost: WindowCost, top: int) -> MoneyBar:
    start, plan = cost.least * LINE // top, plan_of(cost)
    width = max(cost.most * LINE // top - start, THINNEST)
    return MoneyBar(start, width, None if plan is None else plan.about * LINE // top)


def _place(months: int) -> int:
    if months <= MONTHS:
        return months * THREE_YEARS // MONTHS
    return LINE - (LINE - THREE_YEARS) * MONTHS // months
