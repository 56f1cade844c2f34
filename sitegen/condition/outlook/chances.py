"""The probability that an item falls due once, twice or more often before a moment.

The first need and every repeat are equally likely anywhere within their limits: a quantity of which only two limits
are known has a rectangular distribution between them (JCGM 101:2008, 6.4.2). If no latest end is known, the chance of
a need before t is 1 - earliest / t (own assumption): the earliest end is the remaining share of the shortest life, so
half are left at twice that time and a third at three times.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import comb, factorial

CERTAIN = 2**22
"""The probability 1. Probabilities are whole numbers of 1/CERTAIN, so that Python and JavaScript agree exactly."""


@dataclass(frozen=True)
class Needs:
    """When an item first falls due, and how long it lasts after each renewal. An unknown end is None."""

    earliest: int
    latest: int | None
    repeat_low: int | None = None
    """None if it does not repeat."""
    repeat_high: int | None = None

    def __post_init__(self) -> None:
        """Raise ValueError for an item that would repeat endlessly at one moment."""
        if self.repeat_low is not None and self.repeat_low < 1:
            raise ValueError("what is renewed must last at least one unit of distance or one month")


def chances_before(needs: Needs, end: int, may_be_due: int) -> tuple[int, ...]:
    """Return the probabilities of at least one, two, ... needs in [0, end), in parts of `CERTAIN`, while above zero.

    An item that may be due at once and has no latest end has a probability of `may_be_due` hundredths.

    First between 0 and 10, then every 10 exactly, before 15: the first is certain, the second has a chance of one
    half. First from 10 on, with no latest end, before 40: 3 of 4.
    """
    first_width = 0 if needs.latest is None else needs.latest - needs.earliest
    repeat = needs.repeat_low or 0
    repeat_width = 0 if needs.repeat_high is None else needs.repeat_high - repeat
    chances: list[int] = []
    while (left := end - needs.earliest - len(chances) * repeat) > 0:
        is_open = needs.latest is None or (chances and needs.repeat_high is None and needs.repeat_low is not None)
        if is_open:
            chance = CERTAIN * left // end
            if needs.latest is None and needs.earliest == 0:
                chance = chance * may_be_due // 100
            chance = min(chance, sum_below(left, 0, repeat_width, len(chances)))
        else:
            chance = sum_below(left, first_width, repeat_width, len(chances))
        chance = min(chance, chances[-1]) if chances else chance
        if chance == 0:
            break
        chances.append(chance)
        if needs.repeat_low is None:
            break
    return tuple(chances)


def sum_below(limit: int, first: int, other: int, others: int) -> int:
    """Return the chance that one number between 0 and `first` and `others` numbers between 0 and `other` add up to
    less than `limit`, each being equally likely anywhere there; in parts of `CERTAIN`, rounded down.

    The volume of a box cut off by a plane: the sum over its corners c of (-1)**(upper ends in c) * (limit - c)**n,
    where that is positive, over n! and the box's volume; n counts the widths above zero. Exact in whole numbers.
    Two of [0, 1] below 1: (1**2 - 0 - 0) / 2 = 1/2.
    """
    if limit <= 0:
        return 0
    if limit >= first + others * other:
        return CERTAIN
    firsts, others = int(first > 0), others if other > 0 else 0
    number = firsts + others
    above = 0  # the volume, without the same factor as in `below`
    for upper in range(firsts + 1):
        for uppers in range(others + 1):
            rest = limit - upper * first - uppers * other
            if rest > 0:
                above += (-1 if (upper + uppers) % 2 else 1) * comb(others, uppers) * pow(rest, number)
    below = factorial(number) * pow(first, firsts) * pow(other, others)
    return int(CERTAIN * above // below)
