"""Distributions of cost in equal steps of money, convolved exactly.

All numbers are whole, so that Python and JavaScript agree exactly: probabilities in parts of `CERTAIN`, money in
hundredths of the currency. Step j of a distribution holds the amounts nearest to j * step.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, zip_longest

from sitegen.condition.basis.forecast import CostRange
from sitegen.condition.outlook.chances import CERTAIN

STEPS = 256
"""The most steps of money that a sum is divided into."""
WHOLE = 2**30
"""The total weight of a distribution. Times `CERTAIN` it stays below 2**53, where doubles are exact."""
SMALLER = 2**6
"""Weights are divided by this before shares of a step are taken, so that products stay below 2**53 too."""


@dataclass(frozen=True)
class Spending:
    """The cost of one priced item within a period that begins now."""

    chances: tuple[int, ...]
    """The probabilities of at least one, two, ... times."""
    cost: CostRange


def spread(spending: Spending, step: int) -> list[int]:
    """Return the distribution of an item's cost in steps of money. The weights add up to `CERTAIN`.

    Doing it n times costs n * low to n * high, evenly distributed.
    """
    chances, cost = (*spending.chances, 0), spending.cost
    weights = [0] * (_nearest(len(spending.chances) * cost.high, step) + 1)
    for times in range(len(chances)):
        chance = (chances[times - 1] if times else CERTAIN) - chances[times]
        if chance == 0:
            continue
        low, high = times * cost.low, times * cost.high
        first, last = _nearest(low, step), _nearest(high, step)
        # Twice the money below the upper end of each place but the last; it is from 0 to twice the width.
        twice = range((2 * first + 1) * step - 2 * low, (2 * last + 1) * step - 2 * low, 2 * step)
        until = [*(chance * below // (2 * (high - low)) for below in twice), chance]
        for place, (before, after) in enumerate(pairwise((0, *until)), first):
            weights[place] += after - before
    return weights


def _nearest(cents: int, step: int) -> int:
    return (2 * cents + step) // (2 * step)


def sum_of(spendings: Sequence[Spending], step: int, start: Sequence[int] = (WHOLE,)) -> list[int]:
    """Return the distribution of a sum. `start` is the distribution of the amount before the first item."""
    weights = list(start)
    for spending in spendings:
        weights = _convolved(weights, spread(spending, step))
    return weights


def mixed(parts: Sequence[Sequence[int]]) -> list[int]:
    """Return the mixture of equally likely distributions. Weights are rounded down."""
    return [sum(weights) // len(parts) for weights in zip_longest(*parts, fillvalue=0)]


def _convolved(weights: Sequence[int], others: Sequence[int]) -> list[int]:
    """Return the convolution of two lists of weights, in parts of `CERTAIN`, rounded down.

    Each list is packed into one long integer, with a slot of eight bytes for each place. Their product holds the sums
    of products, since none overflows its slot. This is many times faster than a loop.
    """
    places = len(weights) + len(others) - 1
    product = _packed(weights) * _packed(others)
    slots = struct.unpack(f"<{places}Q", product.to_bytes(8 * places, "little"))
    return [slot // CERTAIN for slot in slots]


def _packed(weights: Sequence[int]) -> int:
    return int.from_bytes(struct.pack(f"<{len(weights)}Q", *weights), "little")


class Shares:
    """The share of cases below an amount, when every price is multiplied by one of several equally likely levels."""

    def __init__(self, weights: Sequence[int], step: int, levels: Sequence[int]) -> None:
        """Take a distribution in steps of money, and levels in thousandths."""
        self._weights = [weight // SMALLER for weight in weights]
        self._below = [0]
        for weight in self._weights:
            self._below.append(self._below[-1] + weight)
        self._step, self._levels = step, levels
        self.whole = self._below[-1] * len(levels)
        """The result of `below` for an amount that no case exceeds."""
        self.none = self._weights[0] * len(levels)
        """The share of cases that cost nothing, or less than half a step, in parts of `whole`."""

    @property
    def most(self) -> int:
        """Return the amount that no case exceeds."""
        return -(-(2 * len(self._weights) - 1) * self._step * max(self._levels) // 2000)

    def below(self, cents: int) -> int:
        """Return the share of cases below an amount, in parts of `whole`. Cases are spread evenly within a step."""
        return sum(self._at_level(cents, level) for level in self._levels)

    def _at_level(self, cents: int, level: int) -> int:
        size = 2 * level * self._step
        place, rest = divmod(2000 * cents + level * self._step, size)
        if place >= len(self._weights):
            return self._below[-1]
        return self._below[place] + self._weights[place] * rest // size
