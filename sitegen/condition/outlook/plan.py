"""How money spreads over what may come: the middle of a sum, and the range of 8 in 10.

Each item has chances to come at least once, twice, ... and a price, the same each time and equally likely anywhere
within its limits. Items are independent of each other; what is replaced together is one item. Whole numbers only, so
that every language counts the same: chances in parts of `CERTAIN`, money in hundredths of the currency.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.condition.basis.forecast import CostRange, PlanFigure, WindowCost
from sitegen.condition.outlook.chances import CERTAIN

STEPS = 512
"""Into how many steps of money the uncertain part of a sum is cut, at the most."""
WHOLE = 2**30
"""The weight of a whole distribution. Times `CERTAIN` it stays below 2**53, where doubles still count exactly."""
ROUNDED_TO = ((20_000, 1_000), (200_000, 5_000), (1_000_000, 10_000))
"""Below so many hundredths, a figure to plan with is rounded to so many: to 10, 50 and 100 of the currency."""
ROUNDED_BEYOND = 50_000


@dataclass(frozen=True)
class Spending:
    """What one priced item may cost within a stretch of time that begins at once."""

    chances: tuple[int, ...]
    """Of at least one, two, ... times."""
    cost: CostRange

    @property
    def sure_times(self) -> int:
        """How often it comes for certain."""
        return sum(chance == CERTAIN for chance in self.chances)

    @property
    def doubled_mean(self) -> int:
        """Twice the mean, in parts of `CERTAIN`: the mean number of times, times the mean price."""
        return sum(self.chances) * (self.cost.low + self.cost.high)


def middle_of(doubled_means: int) -> int:
    """Return the mean in hundredths, rounded down: 60 % of $100 to $200 is $90."""
    return doubled_means // (2 * CERTAIN)


def eight_in_ten(spendings: Sequence[Spending]) -> CostRange:
    """Return the range that leaves out one case in ten at each end.

    What is certain at its lowest price is exact. The rest is cut into at most `STEPS` equal steps of money, and the
    distributions of the items, each step its weight, are convolved exactly; after each item weights are rounded down
    to whole parts of `WHOLE`. A rectangle from 0 to $100: $10 to $90.
    """
    sure = sum(spending.sure_times * spending.cost.low for spending in spendings)
    most = sum(len(spending.chances) * spending.cost.high for spending in spendings)
    step = max(1, -((sure - most) // STEPS))
    weights = [WHOLE]
    for spending in spendings:
        weights = _convolved(weights, spread(spending, step))
    low, high = (min(max(sure + _quantile(weights, tenth, step), sure), most) for tenth in (1, 9))
    return CostRange(low, high)


def spread(spending: Spending, step: int) -> list[int]:
    """Return the weights, `CERTAIN` in all, of what an item costs beyond its certain part, in steps of money.

    Step j holds what lies nearest to j * step. Coming n times costs from n * low to n * high, evenly.
    """
    chances, cost, sure = (*spending.chances, 0), spending.cost, spending.sure_times
    last = _nearest(len(spending.chances) * cost.high - sure * cost.low, step)
    weights = [0] * (last + 1)
    for times in range(sure, len(chances)):
        chance = (chances[times - 1] if times else CERTAIN) - chances[times]
        low, high = times * cost.low - sure * cost.low, times * cost.high - sure * cost.low
        before, width = 0, 2 * (high - low)
        for place in range(_nearest(low, step), _nearest(high, step) + 1):
            below = min(max((2 * place + 1) * step - 2 * low, 0), width)
            until = chance if below == width else chance * below // width
            weights[place] += until - before
            before = until
    return weights


def _nearest(cents: int, step: int) -> int:
    return (2 * cents + step) // (2 * step)


def _convolved(weights: list[int], others: list[int]) -> list[int]:
    """Return the sums of products, in parts of `CERTAIN`, rounded down.

    Each list is packed into one long number, a slot of eight bytes for each place; then their product holds the sums
    of products, for none of them overflows its slot. That is many times faster than to count them here one by one.
    """
    places = len(weights) + len(others) - 1
    product = _packed(weights) * _packed(others)
    slots = struct.unpack(f"<{places}Q", product.to_bytes(8 * places, "little"))
    return [slot // CERTAIN for slot in slots]


def _packed(weights: list[int]) -> int:
    return int.from_bytes(struct.pack(f"<{len(weights)}Q", *weights), "little")


def _quantile(weights: list[int], tenth: int, step: int) -> int:
    """Return the hundredths below which so many tenths of the weight lie, evenly within a step, to a 64th of it."""
    sought, below = tenth * sum(weights), 0
    place = 0
    while 10 * (below + weights[place]) < sought:
        below += weights[place]
        place += 1
    part = 64 * (sought - 10 * below) // (10 * weights[place])
    return step * (64 * place - 32 + part) // 64


def plan_of(window: WindowCost) -> PlanFigure | None:
    """Return a figure to plan with, rounded as one would say it; None where there is none.

    The middle to the nearest 10, 50, 100 or 500, as large as it is; the range of 8 in 10 outward. Never below the
    least nor above the most: $847.20, $462 to $1,470 are about $850, $450 to $1,500.
    """
    if window.middle is None:
        return None
    step = _rounded_to(window.middle)
    about = (2 * window.middle + step) // (2 * step) * step
    likely = None
    if window.likely is not None:
        low_step, high_step = _rounded_to(window.likely.low), _rounded_to(window.likely.high)
        low = max(window.likely.low // low_step * low_step, window.least)
        high = min(-(-window.likely.high // high_step) * high_step, window.most)
        likely = CostRange(low, high)
    return PlanFigure(min(max(about, window.least), window.most), likely)


def _rounded_to(cents: int) -> int:
    return next((step for below, step in ROUNDED_TO if cents < below), ROUNDED_BEYOND)
