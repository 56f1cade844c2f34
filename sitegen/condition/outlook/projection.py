"""How far a worn part will last, from one measurement: always a range, exact until it is rounded outward.

Depths are in one unit and distances in one unit, whichever the caller likes; all are exact fractions.

Method: common practice of wear projection, taken as linear. One reading cannot show acceleration: pads often wear
faster when thin and hot, tread often slower when shallow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.basis.values import Span, WholeSpan

ROUNDED_TO = 1_000
"""Projected distances are rounded outward to this many miles or kilometres; more digits would be a pretence."""

MOST_LIVES = 2
"""However slowly a part wore, no more usual lives than this are counted on: a rule of this project, no source."""


@dataclass(frozen=True)
class Wear:
    """One reading of a part that wears, and what is known of its past."""

    now: Fraction
    """The lowest point, never an average."""
    error: Fraction
    """How far the reading may be off, either way."""
    new_low: Fraction
    new_high: Fraction
    """Depth when new: equal where known, a typical range where not."""
    worn_out: Fraction
    """The limit that the typical life runs to."""
    life: Span
    """Typical life from new to worn out."""
    driven: Fraction | None = None
    """Distance since the part was fitted, where known."""
    least_history: Fraction = Fraction(0)
    """With less driven than this, the part's own wear says too little."""


@dataclass(frozen=True)
class Projection:
    """How far until the part is down to a mark, and whether that rests on its own wear or on typical life."""

    span: Span
    own_history: bool
    held: bool = False
    """Its own wear alone would give more than twice what such parts usually last, and was not followed so far."""


def project(wear: Wear, end: Fraction) -> Projection | None:
    """Return the distance until the part is worn down to `end`; None where the reading contradicts the depth when
    new.

    With wear w = new - now over m driven, and reading error e:

        low  = (now - e - end) * m / (w + e)        high = (now + e - end) * m / (w - e)

    10/32 in when new, 6/32 now, to 2/32, after 24,000 mi, error 0.5/32: 18,666.7 to 30,857.1 mi.

    so that high has no end where w is not above e. Each end is held to at most twice the usual longest life L2,
    times its own share left: (now - e - end) / (new - worn_out) for low, (now + e - end) / (new - worn_out) for high.

    Typical life L1 to L2 alone is used where the depth when new is assumed, or the distance is not known or below
    `least_history`:

        low  = L1 * (now - e - end) / (new_high - worn_out)     high = L2 * (now + e - end) / (new_low - worn_out)

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
    if not known_new or wear.driven is None or wear.driven < wear.least_history or wear.driven <= 0:
        return Projection(_assumed(wear, end), own_history=False)
    return _by_own_wear(wear, end, wear.driven)


def _assumed(wear: Wear, end: Fraction) -> Span:
    low = wear.life.low * _share((wear.now - wear.error - end) / (wear.new_high - wear.worn_out))
    if wear.life.high is None:
        return Span(low, None)
    return Span(low, wear.life.high * _share((wear.now + wear.error - end) / (wear.new_low - wear.worn_out)))


def _by_own_wear(wear: Wear, end: Fraction, driven: Fraction) -> Projection:
    """Project the part's own wear; hold each end to what `MOST_LIVES` usual lives would give for its share left.

    Pads of 12 mm, now 9, to 3, after 41,207 mi, error 0.5, L2 65,000 mi: 5.5 x 41,207 / 3.5 = 64,753.9 mi, and
    6.5 x 41,207 / 2.5 = 107,138.2 mi, held to 2 x 65,000 x 6.5 / 9 = 93,888.9 mi.
    """
    worn = wear.new_low - wear.now
    low = max(wear.now - wear.error - end, Fraction(0)) * driven / (worn + wear.error)
    high = (wear.now + wear.error - end) * driven / (worn - wear.error) if worn > wear.error else None
    if wear.life.high is None:
        return Projection(Span(low, high), own_history=True)
    usable = wear.new_low - wear.worn_out
    most = MOST_LIVES * wear.life.high
    low_bound = most * _share((wear.now - wear.error - end) / usable)
    high_bound = most * _share((wear.now + wear.error - end) / usable)
    held = low > low_bound or high is None or high > high_bound
    shown_high = high_bound if high is None else min(high, high_bound)
    return Projection(Span(min(low, low_bound), shown_high), own_history=True, held=held)


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
