"""The figure to plan with and its range, rounded outward once for display.

The range leaves at most one case in ten above it. Apart from that it is the shortest range, in the displayed steps,
that holds 8 cases in 10. So its high end never falls when something that was not measured is counted as worn out. The
shortest of all ranges would not have this property.
"""

from __future__ import annotations

from sitegen.condition.basis.forecast import PlanFigure
from sitegen.condition.outlook.distribution import Shares

ROUNDED_TO = ((20_000, 1_000), (200_000, 5_000), (1_000_000, 10_000))
"""Pairs of a limit and a step, in hundredths: a figure below the limit is rounded to the step.

The steps are 10, 50 and 100 of the currency.
"""
ROUNDED_BEYOND = 50_000
ABOVE, HELD = 95, 810
"""The most cases above the range and the least within it, in thousandths.

They are a little stricter than 1 in 10 and 8 in 10, since levels stand for values that vary continuously.
"""


def plan_figure(mean: int, known: Shares, worst: Shares) -> PlanFigure:
    """Return the figure and its range: the low end of what is known, the high end of the worst case.

    A mean of $847.20 is about $850. Nine in ten below $1,462 give a high end of $1,500.
    """
    high = _high_end(worst)
    step = rounded_to(high)
    most_below = known.below(high) - known.whole * HELD // 1000
    low = 0
    while low + step <= high and known.below(low + step) <= most_below:
        low += step
    step = rounded_to(mean)
    about = (2 * mean + step) // (2 * step) * step
    return PlanFigure(min(max(about, low), high), low, high)


def _high_end(shares: Shares) -> int:
    """Return the least amount, in displayed steps, that at most `ABOVE` of all cases exceed."""
    enough = shares.whole * (1000 - ABOVE)
    if shares.none * 1000 >= enough:
        return 0
    # Each step divides the next: search by the smallest step, then round by the step that applies there.
    low, high = 0, shares.most
    while high - low > ROUNDED_TO[0][1]:
        middle = (low + high) // 2
        if shares.below(middle) * 1000 >= enough:
            high = middle
        else:
            low = middle
    step = rounded_to(low)
    place = low // step * step
    while shares.below(place) * 1000 < enough:
        place += rounded_to(place)
    return place


def rounded_to(cents: int) -> int:
    """Return the step to which an amount is rounded, in hundredths of the currency."""
    return next((step for below, step in ROUNDED_TO if cents < below), ROUNDED_BEYOND)
