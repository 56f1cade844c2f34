"""Project how far a part will last from its wear between two inspections. Pure.

Each reading may be off by its gauge's error, either way; only these limits are known (as in JCGM 100:2008, 4.3.7).
The errors are added, not combined as the root of their squares (5.1.2): a buyer must be able to rely on the range in
every case. With then and now, errors e1 and e2, m driven between, to `end`:

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
"""The most usual lives that are projected, as for wear since new. A rule of this project, without a source."""


@dataclass(frozen=True)
class Between:
    """Two readings of one part, in millimetres, and the metres driven between them."""

    on: date
    """The day of the earlier reading."""
    was: Depth
    then: Fraction
    then_error: Fraction
    now: Fraction
    now_error: Fraction
    driven: Fraction
    least: Fraction
    """The least distance between them for which the wear is used."""


def by_wear_between(between: Between, end: Fraction, usable: Fraction, longest: Fraction | None) -> Span | None:
    """Return the metres until the part is worn to `end`. None if the two readings are not enough.

    They are enough if the distance is long enough, the difference is larger than both errors together (so that the
    range has an end), and that end is at most twice the `longest` usual life for the share left of `usable`, the
    depth that a new part has above the figure at which it is worn out.
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
    """Return whether wear between inspections replaces a range: typical life always, own wear if it narrows it."""
    if not from_own_wear or had.high is None:
        return True
    return between.high is not None and between.high - between.low < had.high - had.low
