"""How money spreads over what may come: distributions in equal steps of money, convolved exactly.

Whole numbers only, so that every language counts the same: chances in parts of `CERTAIN`, money in hundredths of the
currency. Step j of a distribution holds what lies nearest to j * step.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from sitegen.condition.basis.forecast import CostRange
from sitegen.condition.outlook.chances import CERTAIN

STEPS = 256
"""Into how many steps of money a sum is cut, at the most."""
WHOLE = 2**30
"""The weight of a whole distribution. Times `CERTAIN` it stays below 2**53, where doubles still count exactly."""
SMALLER = 2**6
"""By this weights are divided before shares of a step are taken of them, for the same reason."""


@dataclass(frozen=True)
class Spending:
    """What one priced item may cost within a stretch of time that begins at once."""

    chances: tuple[int, ...]
    """Of at least one, two, ... times."""
    cost: CostRange


def spread(spending: Spending, step: int) -> list[int]:
    """Return the weights, `CERTAIN` in all, of what an item costs, in steps of money.

    Coming n times costs from n * low to n * high, evenly.
    """
    chances, cost = (*spending.chances, 0), spending.cost
    weights = [0] * (_nearest(len(spending.chances) * cost.high, step) + 1)
    for times in range(len(chances)):
        chance = (chances[times - 1] if times else CERTAIN) - chances[times]
        if chance == 0:
            continue
        low, high = times * cost.low, times * cost.high
        before, width = 0, 2 * (high - low)
        for place in range(_nearest(low, step), _nearest(high, step) + 1):
            below = min(max((2 * place + 1) * step - 2 * low, 0), width)
            until = chance if below == width else chance * below // width
            weights[place] += until - before
            before = until
    return weights


def _nearest(cents: int, step: int) -> int:
    return (2 * cents + step) // (2 * step)


def sum_of(spendings: Sequence[Spending], step: int, start: Sequence[int] = (WHOLE,)) -> list[int]:
    """Return the distribution of a sum, `start` being what it begins with."""
    weights = list(start)
    for spending in spendings:
        weights = _convolved(weights, spread(spending, step))
    return weights


def mixed(parts: Sequence[Sequence[int]]) -> list[int]:
    """Return the mixture of distributions that are equally likely; weights are rounded down."""
    return [sum(weights) // len(parts) for weights in zip_longest(*parts, fillvalue=0)]


def _convolved(weights: Sequence[int], others: Sequence[int]) -> list[int]:
    """Return the sums of products, in parts of `CERTAIN`, rounded down.

    Each list is packed into one long number, a slot of eight bytes for each place; then their product holds the sums
    of products, for none of them overflows its slot. That is many times faster than to count them here one by one.
    """
    places = len(weights) + len(others) - 1
    product = _packed(weights) * _packed(others)
    slots = struct.unpack(f"<{places}Q", product.to_bytes(8 * places, "little"))
    return [slot // CERTAIN for slot in slots]


def _packed(weights: Sequence[int]) -> int:
    return int.from_bytes(struct.pack(f"<{len(weights)}Q", *weights), "little")


class Shares:
    """The shares of cases below an amount, where every price is multiplied by one of some equally likely levels."""

    def __init__(self, weights: Sequence[int], step: int, levels: Sequence[int]) -> None:
        """Take a distribution in steps of money, and levels in thousandths."""
        self._weights = [weight // SMALLER for weight in weights]
        self._below = [0]
        for weight in self._weights:
            self._below.append(self._below[-1] + weight)
        self._step, self._levels = step, levels
        self.whole = self._below[-1] * len(levels)
        """What `below` comes to where nothing is above."""
        self.none = self._weights[0] * len(levels)
        """Where nothing is spent, or less than half a step."""

    @property
    def most(self) -> int:
        """The amount that no case exceeds."""
        return -(-(2 * len(self._weights) - 1) * self._step * max(self._levels) // 2000)

    def below(self, cents: int) -> int:
        """Return the share of cases below an amount, in parts of `whole`: evenly within a step."""
        return sum(self._at_level(cents, level) for level in self._levels)

    def _at_level(self, cents: int, level: int) -> int:
        size = 2 * level * self._step
        place, rest = divmod(2000 * cents + level * self._step, size)
        if place >= len(self._weights):
            return self._below[-1]
        return self._below[place] + self._weights[place] * rest // size
