"""Convert distances between exact metres and the whole numbers in the region's unit that the outlook uses."""

from __future__ import annotations

from fractions import Fraction

from sitegen.condition.basis.values import Span, WholeSpan
from sitegen.condition.outlook.projection import round_outward
from sitegen.records.figures import DistanceUnit
from sitegen.records.quantities import Distance
from sitegen.records.sourced import DistanceRange

HUNDREDTHS = 100
"""The outlook counts in hundredths of a mile or kilometre, so that months follow from unrounded distances."""


def metres_in(unit: DistanceUnit) -> Fraction:
    """Return the metres of one mile or kilometre."""
    return Distance.units[unit.value]


def as_span(distances: DistanceRange) -> Span:
    """Return a range of distances as an exact interval in metres."""
    return Span(distances.low.metres, None if distances.high is None else distances.high.metres)


def hundredths(metres: Span, unit: DistanceUnit) -> WholeSpan:
    """Return an interval in metres as hundredths of the unit, rounded outward, as the outlook uses it."""
    return round_outward(_in_unit(metres, unit, HUNDREDTHS), 1)


def whole_span(metres: Span, unit: DistanceUnit) -> WholeSpan:
    """Return an interval in metres, rounded outward to thousands of the unit, for display."""
    return round_outward(_in_unit(metres, unit))


def shown_thousands(distance: WholeSpan) -> WholeSpan:
    """Return an interval of hundredths of a unit, rounded outward to thousands of the unit."""
    high = None if distance.high is None else Fraction(distance.high, HUNDREDTHS)
    return round_outward(Span(Fraction(distance.low, HUNDREDTHS), high))


def _in_unit(metres: Span, unit: DistanceUnit, parts: int = 1) -> Span:
    size = metres_in(unit) / parts
    return Span(metres.low / size, None if metres.high is None else metres.high / size)


def distance_of(whole: int, unit: DistanceUnit) -> Distance:
    """Return whole miles or kilometres as a distance."""
    return Distance(whole * metres_in(unit), f"{whole:,} {unit.value}")


def driven_of(metres: Fraction, unit: DistanceUnit) -> Distance:
    """Return an exact distance in metres as a distance in the unit."""
    return Distance(metres, f"{float(metres / metres_in(unit)):,.0f} {unit.value}")
