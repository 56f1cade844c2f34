"""How far a part will last by what it wore between two inspections. Pure.

Each reading may be off by its gauge's error, either way, and nothing more is known of it (limits, as in JCGM
100:2008, 4.3.7). The limits are added whole, not by the root of their squares (5.1.2), for a range that one case in
some would leave is none that a buyer may rely on. With then and now, errors e1 and e2, m driven between, to `end`:

    low  = (now - e2 - end) * m / (then - now + e1 + e2)     high = (now + e2 - end) * m / (then - now - e1 - e2)

6/32 in, then 4/32 after 12,000 mi, to 2/32, each off by 0.5/32: 6,000 to 30,000 mi.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.values import Span
from sitegen.records.quantities import Depth

MOST_LIVES = 2
"""As with wear since new, no more usual lives than this are counted on: a rule of this project, no source."""


@dataclass(frozen=True)
class Between:
    """Two readings of one part, in millimetres, and the metres driven between them."""

    on: date
    """The day of the earlier one."""
    was: Depth
    then: Fraction
    then_error: Fraction
    now: Fraction
    now_error: Fraction
    driven: Fraction
    least: Fraction
    """With less driven than this between them, the wear says too little."""


def by_wear_between(between: Between, end: Fraction, usable: Fraction, longest: Fraction | None) -> Span | None:
    """Return the metres until the part is down to `end`; None where the two readings cannot tell.

    They tell where enough was driven, and the difference is larger than what both readings together may be off, so
    that the range has an end; and that end is no further than twice the `longest` usual life for the share left of
    `usable`, which is what a new part has above the figure at which it is worn out.
    """
    worn, off = between.then - between.now, between.then_error + between.now_error
    if between.driven < between.least or worn <= off:
        return None
    low = max(between.now - between.now_error - end, Fraction(0)) * between.driven / (worn + off)
    most_left = between.now + between.now_error - end
    high = most_left * between.driven / (worn - off)
    if longest is not None and high > MOST_LIVES * longest * most_left / usable:
        return None
    return Span(low, high)


def is_better(between: Span, had: Span, from_own_wear: bool) -> bool:
    """Tell whether it serves better: always than usual life; than wear since new where its range is narrower."""
    if not from_own_wear or had.high is None:
        return True
    return between.high is not None and between.high - between.low < had.high - had.low
