"""The remaining life of the parts that one outlook item renews together. The part that wears out first decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.calendar import add_months
from sitegen.condition.basis.forecast import NeedFacts
from sitegen.condition.basis.odometer import may_project
from sitegen.condition.basis.renewals import fitted_by_work, odometer_now
from sitegen.condition.basis.values import KnownBy, Renewal, Said, Span, WholeSpan
from sitegen.condition.outlook.distances import hundredths
from sitegen.condition.outlook.projection import longest
from sitegen.records.figures import DistanceUnit
from sitegen.records.quantities import Distance
from sitegen.records.sourced import Months
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Gauge

NOTHING_LEFT = Span.at(Fraction(0))


@dataclass(frozen=True)
class PartLife:
    """The remaining life of one part: distance in metres, days, and the basis of both."""

    distance: Span | None
    days: WholeSpan | None
    known_by: KnownBy
    basis: tuple[Said, ...] = ()
    own_wear: bool = False
    """Whether the distance follows from how this part has worn so far."""
    most: Span | None = None
    """The upper limit for each end of the distance, if own wear decides."""
    not_measured: bool = False
    """Whether it was not measured. `distance` is then the full range from worn out to new."""
    worst: tuple[Span | None, WholeSpan | None] | None = None
    """Distance and days if everything not measured or noted is as bad as possible. None if that changes nothing."""

    @property
    def at_worst(self) -> PartLife:
        """Return the same life with distance and days at their worst.

        A life without a worst case is returned unchanged.
        """
        if self.worst is None:
            return self
        distance, days = self.worst
        return replace(self, distance=distance, days=days, worst=None)


AT_ONCE: tuple[Span | None, WholeSpan | None] = (NOTHING_LEFT, None)
"""The worst life of a part that was not measured: it is worn out."""


def not_measured(life: Span, days: WholeSpan | None, known_by: KnownBy, basis: tuple[Said, ...]) -> PartLife:
    """Return the life of a part that was not measured: from worn out to new; at worst, worn out."""
    full = Span(Fraction(0), longest(life))
    return PartLife(full, days, known_by, basis, not_measured=True, worst=AT_ONCE)


def first_to_go(lives: Sequence[PartLife]) -> PartLife:
    """Return when a group of parts that are replaced together falls due: when its first part does.

    Raises ValueError without any part.
    """
    deciding = min(lives, key=_urgency)
    worst = None
    if any(life.worst is not None for life in lives):
        at_worst = [life.at_worst for life in lives]
        worst = (
            _first_span([life.distance for life in at_worst if life.distance is not None]),
            _first_days([life.days for life in at_worst if life.days is not None]),
        )
    distance = _first_span([life.distance for life in lives if life.distance is not None])
    days = _first_days([life.days for life in lives if life.days is not None])
    is_due = any(span is not None and span.high == 0 for span in (distance, days))
    return PartLife(
        distance=distance,
        days=days,
        known_by=deciding.known_by,
        basis=deciding.basis,
        own_wear=deciding.own_wear,
        most=_first_span([life.most for life in lives if life.most is not None]) if deciding.own_wear else None,
        not_measured=not is_due and any(life.not_measured for life in lives),
        worst=worst,
    )


def _urgency(life: PartLife) -> tuple[bool, bool, bool, Fraction, Fraction]:
    """Return a sort key: due parts first, then measured parts, then by remaining life."""
    due_now = life.days is not None and life.days.high == 0
    span = life.distance or Span(Fraction(0), None)
    far = span.low if span.high is None else span.high
    return (not due_now, life.not_measured, life.distance is None, span.low, far)


def _first_span(spans: list[Span]) -> Span | None:
    highs = [span.high for span in spans if span.high is not None]
    return Span(min(span.low for span in spans), min(highs, default=None)) if spans else None


def _first_days(spans: list[WholeSpan]) -> WholeSpan | None:
    highs = [span.high for span in spans if span.high is not None]
    return WholeSpan(min(span.low for span in spans), min(highs, default=None)) if spans else None


def need_of(life: PartLife, unit: DistanceUnit) -> tuple[NeedFacts, NeedFacts | None]:
    """Return the need that follows from a life, and the need at its worst if that differs."""

    def need(distance: Span | None, days: WholeSpan | None, *, hangs_on_driver: bool) -> NeedFacts:
        return NeedFacts(
            distance=None if distance is None else hundredths(distance, unit),
            days=days,
            own_wear=hangs_on_driver and distance is not None,
            most_distance=None if life.most is None or distance is None else hundredths(life.most, unit),
        )

    known = need(life.distance, life.days, hangs_on_driver=life.own_wear)
    if life.worst is None:
        return known, None
    # Nothing is known about the last driver here, so the next one may wear it faster than the shortest usual life.
    worst = need(*life.worst, hangs_on_driver=True)
    return known, None if worst == known else worst


def minus(span: Span, driven: Fraction) -> Span:
    """Return the distance left after `driven` was driven, never below zero."""
    zero = Fraction(0)
    return Span(max(span.low - driven, zero), None if span.high is None else max(span.high - driven, zero))


def no_sooner_than(life: PartLife, old: PartLife) -> PartLife:
    """Return a life whose ends are no lower than those of the old parts before any was renewed.

    Parts that wore slowly may have more left than new ones usually last. Renewing them must not bring the date
    closer.
    """
    if life.distance is None or old.distance is None or old.not_measured:
        return life
    highs = (life.distance.high, old.distance.high)
    high = None if highs[0] is None or highs[1] is None else max(highs[0], highs[1])
    return replace(life, distance=Span(max(life.distance.low, old.distance.low), high))


def days_left(months: Months, earliest: date, latest: date, as_of: date) -> WholeSpan:
    """Return the days left of a calendar life that began between two days, never below zero.

    Fluid of April 2 that lasts 6 to 12 months is due on October 2 at the earliest: as of September 14, in 18 days.
    """
    low, high = add_months(earliest, months.low), add_months(latest, months.high)
    return WholeSpan(max((low - as_of).days, 0), max((high - as_of).days, 0))


def driven_since_measured(record: VehicleRecord, *reading: str) -> Fraction:
    """Return the metres driven between a reading and the latest odometer. 0 if that is not known.

    `reading` names its paths, such as `tires.left_front.tread.inner`.
    """
    now, then = odometer_now(record), record.look_at(*reading).at
    return now.metres - then.metres if now is not None and then is not None else Fraction(0)


def driven_since_fitted(
    record: VehicleRecord, fitted_at: Distance | None, part: str, reading: tuple[str, ...]
) -> Fraction | None:
    """Return the metres that a part had run when it was measured. None if either reading is not known.

    `part` is its name in `renews`, and `reading` names the paths of the measured values.
    """
    measured_at = record.look_at(*reading).at or record.odometer.reading
    fitted = fitted_at or fitted_by_work(record, part)
    if measured_at is None or fitted is None or not may_project(record) or fitted > measured_at:
        return None
    return measured_at.metres - fitted.metres


def reading_error(gauge: Gauge | None, usual: Fraction) -> Fraction:
    """Return the error of a reading in millimetres: the usual one, or half the gauge's step if that is larger."""
    if gauge is None or gauge.reads_to is None:
        return usual
    return max(usual, gauge.reads_to.millimetres / 2)


def life_of_renewed(record: VehicleRecord, life: Span, renewal: Renewal) -> Span | None:
    """Return the metres left of a typical life that began with a renewal. None if it cannot be counted."""
    now = odometer_now(record)
    if now is None or renewal.at is None or not may_project(record):
        return None
    return minus(life, max(now.metres - renewal.at.metres, Fraction(0)))
