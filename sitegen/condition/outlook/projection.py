"""How far a worn part will last, from one measurement: always a range, exact until it is rounded outward.

Depths are in one unit and distances in one unit, whichever the caller likes; all are exact fractions.

Method: common practice of wear projection, taken as linear. One reading cannot show acceleration: pads often wear
faster when thin and hot, tread often slower when shallow.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.basis.values import Span, WholeSpan

ROUNDED_TO = 1_000
"""Projected distances are rounded outward to this many miles or kilometres. More digits would be false precision."""

MOST_LIVES = 2
"""The most usual lives that a slowly worn part is projected to last. A rule of this project, without a source."""


OPEN_LIFE = 4
"""If a usual life has no longest end, this many of its shortest are used.

A rule of this project, without a source.
"""


@dataclass(frozen=True)
class Wear:
    """One reading of a wearing part, and its known history."""

    now: Fraction
    """The lowest point, never an average."""
    error: Fraction
    """The error of the reading, either way."""
    new_low: Fraction
    new_high: Fraction
    """The upper depth when new; equal to the lower if it is known exactly."""
    worn_out: Fraction
    """The limit at which the typical life ends."""
    life: Span
    """Typical life from new to worn out."""
    driven: Fraction | None = None
    """The distance since the part was fitted. None if not known."""
    least_history: Fraction = Fraction(0)
    """The least distance after which the part's own wear is used."""


@dataclass(frozen=True)
class Projection:
    """The distance until a part is worn to a given depth, and whether it follows from own wear or typical life."""

    span: Span
    own_history: bool
    most: Span | None = None
    """The upper limit for each end. None if typical life alone decides."""
    held: bool = False
    """Whether own wear gave more than `MOST_LIVES` usual lives, so that the result was limited."""
    worst: Span | None = None
    """The distance if the depth when new was the deepest, and the life the shortest, that are usual."""


def project(wear: Wear, end: Fraction) -> Projection | None:
    """Return the distance until the part is worn down to `end`; None where the reading contradicts the depth when
    new.

    With wear over m driven, from a depth when new of n1 to n2, and reading error e:

        low  = (now - e - end) * m / (n2 - now + e)        high = (now + e - end) * m / (n1 - now - e)

    10/32 in when new, 6/32 now, to 2/32, after 24,000 mi, error 0.5/32: 18,666.7 to 30,857.1 mi. Where the depth when
    new is a typical range, it gives both ends: 10/32 to 11/32 in, 15,272.7 to 30,857.1 mi.

    High has no end where n1 - now is not above e. Each end is held to at most twice the usual longest life L2, times
    its own share left: (now - e - end) / (n2 - worn out) for low, (now + e - end) / (n1 - worn out) for high. Where a
    usual life has no longest end, four times its shortest stands for L2 (a rule of this project, no source).

    Typical life L1 to L2 alone is used where the distance is not known or below `least_history`:

        low  = L1 * (now - e - end) / (n2 - worn_out)     high = L2 * (now + e - end) / (n1 - worn_out)

    each share held between 0 and 1. At or below `end` nothing is left: 0 to 0. Less depth never lengthens life, and
    a coarser gauge never narrows the range. Raises ValueError unless the depth when new is above `worn_out`.
    """
    if wear.new_low <= wear.worn_out:
        raise ValueError("a part that is new must be above the depth at which it is worn out")
    known_new = wear.new_low == wear.new_high
    if known_new and wear.now > wear.new_low:
        return None
    if wear.now <= end:
        return Projection(Span.at(Fraction(0)), own_history=known_new and wear.driven is not None)
    if wear.driven is None or wear.driven < wear.least_history or wear.driven <= 0:
        return Projection(_assumed(wear, end), own_history=False, worst=_assumed_at_worst(wear, end))
    return _by_own_wear(wear, end, wear.driven)


def _assumed(wear: Wear, end: Fraction) -> Span:
    low = wear.life.low * _share((wear.now - wear.error - end) / (wear.new_high - wear.worn_out))
    if wear.life.high is None:
        return Span(low, None)
    return Span(low, wear.life.high * _share((wear.now + wear.error - end) / (wear.new_low - wear.worn_out)))


def _assumed_at_worst(wear: Wear, end: Fraction) -> Span:
    """Return the distance that the shortest usual life leaves, with the deepest usual depth when new."""
    usable = wear.new_high - wear.worn_out
    low, high = (wear.life.low * _share((wear.now + off - end) / usable) for off in (-wear.error, wear.error))
    return Span(low, high)


def longest(life: Span) -> Fraction:
    """Return the longest usual life. If it has no known end, return `OPEN_LIFE` times the shortest."""
    return life.high if life.high is not None else OPEN_LIFE * life.low


def _by_own_wear(wear: Wear, end: Fraction, driven: Fraction) -> Projection:
    """Return the projection by the part's own wear, with each end limited to `MOST_LIVES` usual lives.

    The limit is that of the share that is left at that end.

    Pads of 12 mm, now 9, to 3, after 41,207 mi, error 0.5, L2 65,000 mi: 5.5 x 41,207 / 3.5 = 64,753.9 mi, and 6.5 x
    41,207 / 2.5 = 107,138.2 mi, held to 2 x 65,000 x 6.5 / 9 = 93,888.9 mi.
    """
    low = _lasting(wear, end, -wear.error, wear.new_high, driven)
    high = _lasting(wear, end, wear.error, wear.new_low, driven)
    most = most_counted_on(wear, end)
    span = Span(most.low if low is None else min(low, most.low), most_of(high, most.high))
    held = low is None or low > most.low or high is None or (most.high is not None and high > most.high)
    worst = None
    if wear.new_low != wear.new_high:
        later = _lasting(wear, end, wear.error, wear.new_high, driven)
        worst = Span(span.low, most_of(later, most.high))
    return Projection(span, own_history=True, most=most, held=held, worst=worst)


def _lasting(wear: Wear, end: Fraction, off: Fraction, new: Fraction, driven: Fraction) -> Fraction | None:
    """Return the distance until worn to `end` if the reading is off by `off`. None if no wear is left to measure."""
    worn = new - wear.now - off
    return max(wear.now + off - end, Fraction(0)) * driven / worn if worn > 0 else None


def project_as_mates(wear: Wear, mates: Sequence[Fraction], end: Fraction) -> Projection | None:
    """Return the distance until a part is worn to `end`, if from now on it wears as its mates did.

    `mates` are their depths now, after the same distance from the same depth when new. The fastest gives the low end,
    the slowest the high end. None if they wore no less than the part, or the distance is not known.

    10/32 in when new, 5/32 now, its mates 7/32, to 2/32, after 22,600 mi, error 0.5/32: 2.5 x 22,600 / 3.5 = 16,142.9
    mi to 3.5 x 22,600 / 2.5 = 31,640 mi.
    """
    if not mates or min(mates) <= wear.now or wear.driven is None or wear.driven < wear.least_history:
        return None
    most = most_counted_on(wear, end)
    low = max(wear.now - wear.error - end, Fraction(0)) * wear.driven / (wear.new_high - min(mates) + wear.error)
    worn = wear.new_low - max(mates) - wear.error
    high = (wear.now + wear.error - end) * wear.driven / worn if worn > 0 else None
    return Projection(Span(min(low, most.low), most_of(high, most.high)), own_history=True, most=most)


def most_counted_on(wear: Wear, end: Fraction) -> Span:
    """Return the upper limit for each end, however slowly the part wore."""
    most = MOST_LIVES * longest(wear.life)
    low = most * _share((wear.now - wear.error - end) / (wear.new_high - wear.worn_out))
    return Span(low, most * _share((wear.now + wear.error - end) / (wear.new_low - wear.worn_out)))


def most_of(distance: Fraction | None, most: Fraction | None) -> Fraction | None:
    """Return the smaller of a distance and its limit `most`.

    None stands for no end; if both are None, return None.
    """
    return min((end for end in (distance, most) if end is not None), default=None)


def _share(value: Fraction) -> Fraction:
    return min(max(value, Fraction(0)), Fraction(1))


def usable_share(now: Fraction, new: Fraction, end: Fraction) -> Fraction:
    """Return the share of usable depth left, 0 to 1: what lies above the limit, not above zero.

    6/32 in left of 10/32, with a limit of 2/32, is (6 - 2) / (10 - 2) = 0.5. Counting from the limit is common
    practice.

    Raises ValueError unless `new` is above `end`.
    """
    if new <= end:
        raise ValueError("a part that is new must be above the depth at which it is worn out")
    return _share((now - end) / (new - end))


def round_outward(span: Span, step: int = ROUNDED_TO) -> WholeSpan:
    """Round the low end down and the high end up to whole steps, exactly: 17,818.2 to 28,000 becomes 17,000 to
    28,000."""
    low = math.floor(span.low / step) * step
    return WholeSpan(low, None if span.high is None else math.ceil(span.high / step) * step)
