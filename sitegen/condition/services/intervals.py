"""Compute when services fall due: by distance, by months, or by whichever comes first.

The interval is typical; the last time comes from the records. Without a record, the service was done at some time
between new and now, so it may be due already, unless even the first one would not be due yet. A missing record never
counts as "in order".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from sitegen.condition.basis.checks import found_at
from sitegen.condition.basis.findings import Judged
from sitegen.condition.basis.forecast import ItemFacts, NeedFacts, OutlookLine
from sitegen.condition.basis.odometer import may_project, why_no_projection
from sitegen.condition.basis.renewals import odometer_now, renewal_of
from sitegen.condition.basis.values import KnownBy, Said, Span, Value, WholeSpan
from sitegen.condition.batteries_fluids_body.fluids import moisture_says
from sitegen.condition.outlook.distances import as_span, hundredths
from sitegen.condition.outlook.part_life import days_left
from sitegen.condition.services.called_for import Call, call_for
from sitegen.condition.services.last_done import LastDone, last_done
from sitegen.records.disclosure import CheckResult
from sitegen.records.figures import DistanceUnit, Figures, JudgedByLooking, ServiceInterval, Suits
from sitegen.records.vehicle import Timing, Vehicle
from sitegen.records.vehicle_record import VehicleRecord


def judge_services(record: VehicleRecord, figures: Figures, as_of: date) -> Judged:
    """Return an outlook line for each service that this vehicle has, with or without an interval."""
    return Judged(lines=(*_scheduled(record, figures, as_of), *_by_check(record, figures)))


def _scheduled(record: VehicleRecord, figures: Figures, as_of: date) -> Iterator[OutlookLine]:
    for service, intervals in figures.intervals.services.items():
        suiting = next((interval for interval in intervals if suits(interval.suits, record.vehicle)), None)
        if suiting is not None:
            yield _line(service, suiting, record, figures, as_of)
        elif _timing_not_known(intervals, record.vehicle):
            nothing = ItemFacts(service, NeedFacts(None, None), no_record=True)
            yield OutlookLine(nothing, KnownBy.NOT_KNOWN, (Said("outlook.service.timing_not_known"),), (service,))


def suits(rule: Suits, vehicle: Vehicle) -> bool:
    """Return whether an interval applies to this vehicle.

    No interval applies to a transmission that is not recorded.
    """
    return (
        (rule.fuels is None or vehicle.fuel in rule.fuels)
        and (rule.drives is None or vehicle.drive in rule.drives)
        and (rule.transmissions is None or vehicle.transmission in rule.transmissions)
        and (rule.from_year is None or vehicle.year >= rule.from_year)
        and (not rule.belt or vehicle.timing is Timing.BELT)
    )


def _timing_not_known(intervals: tuple[ServiceInterval, ...], vehicle: Vehicle) -> bool:
    """Return whether an interval fails to apply only because the record does not say belt or chain."""
    belted = vehicle.model_copy(update={"timing": Timing.BELT})
    return vehicle.timing is None and any(suits(interval.suits, belted) for interval in intervals)


def _line(
    service: str, interval: ServiceInterval, record: VehicleRecord, figures: Figures, as_of: date
) -> OutlookLine:
    unit = figures.region.units.distance
    last = last_done(record, service, as_of)
    need = _Need.since(interval, last, record, as_of)
    noted = () if last.note is None else (Said("outlook.service.note", {"note": last.note}),)
    basis = [last.said, *noted, _every(interval)]
    if interval.distance is not None and not may_project(record):
        basis.append(why_no_projection(record))
    tested: list[Said] = []
    if service == "brake_fluid" and need.days is not None:
        days, tested = _by_moisture(need.days, record, figures)
        need = _Need(need.metres, days)
    call = call_for(record, service, figures)
    need, seen = _by_looking(need, call)
    # A fault without a description only shows that the service may be due, as a missing record does.
    nothing_recorded = not last.recorded and not tested and call is not Call.DUE
    tested += seen
    facts = ItemFacts(
        key=service,
        need=need.facts(unit),
        again_distance=None if interval.distance is None else hundredths(as_span(interval.distance), unit),
        again_months=None if interval.months is None else WholeSpan(interval.months.low, interval.months.high),
        no_record=nothing_recorded,
        worst=_at_worst(service, interval, last, record, figures, as_of).facts(unit),
    )
    known_by = KnownBy.FROM_RECORDS if last.recorded else KnownBy.NOT_KNOWN
    if tested:
        known_by = KnownBy.MEASURED
    if not last.recorded and _not_due_since_new(need, interval):
        basis[0], known_by = Said("outlook.service.not_due_since_new"), KnownBy.TYPICAL
    return OutlookLine(facts, known_by, (*tested, *basis), (service,))


@dataclass(frozen=True)
class _Need:
    """When a service first falls due: metres and days left."""

    metres: Span | None
    days: WholeSpan | None

    @classmethod
    def since(cls, interval: ServiceInterval, last: LastDone, record: VehicleRecord, as_of: date) -> _Need:
        """Return the rest of an interval that began when the service was last done."""
        days = None
        if interval.months is not None:
            days = days_left(interval.months, last.earliest, last.latest, as_of)
        return cls(metres_left(interval, last, record), days)

    def facts(self, unit: DistanceUnit) -> NeedFacts:
        """Return the need as `NeedFacts`: metres become hundredths of the outlook's unit."""
        return NeedFacts(None if self.metres is None else hundredths(self.metres, unit), self.days)


_NOW = WholeSpan(0, 0)


def _at_worst(
    service: str,
    interval: ServiceInterval,
    last: LastDone,
    record: VehicleRecord,
    figures: Figures,
    as_of: date,
) -> _Need:
    """Return the need if everything that was not noted or looked at is as bad as possible.

    The service was last done as long ago as the records allow. Brake fluid is due without a moisture test, and a
    service that depends on a check point is due if nobody checked the point.
    """
    renewed = renewal_of(record, f"services.{service}", service) is not None
    untested = service == "brake_fluid" and (record.brake_fluid is None or record.brake_fluid.moisture is None)
    looked = figures.intervals.looked_at.get(service)
    not_looked = looked is not None and any(
        found_at(record, point, figures.vocabulary) is CheckResult.NOT_CHECKED for point in looked.points
    )
    if not renewed and (untested or not_looked):
        return _Need(None, _NOW)
    earliest = replace(last, latest=last.earliest)
    if last.metres is not None:
        earliest = replace(earliest, metres=Span.at(last.metres.low))
    need = _Need.since(interval, earliest, record, as_of)
    if interval.distance is not None and need.metres is None:
        return _Need(None, _NOW)
    if service == "brake_fluid" and need.days is not None:
        need = _Need(need.metres, _by_moisture(need.days, record, figures)[0])
    call = call_for(record, service, figures)
    return _Need(None, _NOW) if call is Call.MAYBE else _by_looking(need, call)[0]


def metres_left(interval: ServiceInterval, last: LastDone, record: VehicleRecord) -> Span | None:
    """Return the metres until a service is due. None if it has no distance, or the odometer is not reliable.

    A belt lasts 60,000 to 105,000 mi and was replaced at 82,000 mi: it is due between 142,000 and 187,000 mi. The
    odometer now shows 150,000 mi, so 0 to 37,000 mi are left. After an early renewal it is not due before the first
    interval ends.
    """
    now = odometer_now(record)
    if interval.distance is None or last.metres is None or now is None:
        return None
    every = as_span(interval.distance)
    # An early renewal is no worse than the first fill that it replaced, so it is not due before that would be.
    first = every if interval.first_distance is None else as_span(interval.first_distance)
    left_low = max(last.metres.low + every.low, first.low) - now.metres
    if every.high is None or first.high is None or last.metres.high is None:
        return Span(max(left_low, Fraction(0)), None)
    left_high = max(last.metres.high + every.high, first.high) - now.metres
    return Span(max(left_low, Fraction(0)), max(left_high, Fraction(0)))


def _not_due_since_new(need: _Need, interval: ServiceInterval) -> bool:
    """Return whether even a service never done would not be due yet, by distance and by time."""
    by_distance = interval.distance is None or (need.metres is not None and need.metres.low > 0)
    return by_distance and (need.days is None or need.days.low > 0)


def _every(interval: ServiceInterval) -> Said:
    figures: dict[str, Value] = {}
    kinds = []
    if interval.distance is not None:
        low, high = interval.distance.low, interval.distance.high or interval.distance.low
        figures |= {"low": low, "high": high}
        kinds.append("distance" if low < high else "about_distance")
    if interval.months is not None:
        figures |= {"low_months": interval.months.low, "high_months": interval.months.high}
        kinds.append("months")
    return Said(f"outlook.service.every_{'_or_'.join(kinds)}", figures)


def _by_moisture(days: WholeSpan, record: VehicleRecord, figures: Figures) -> tuple[WholeSpan, list[Said]]:
    """Return the days with brake fluid brought forward by its moisture test. A test never postpones it."""
    renewed = renewal_of(record, "services.brake_fluid", "brake_fluid") is not None
    moisture = record.brake_fluid.moisture if record.brake_fluid is not None and not renewed else None
    says = moisture_says(moisture, figures.fluids)
    if says == "replace":
        return WholeSpan(0, 0), [Said("outlook.brake_fluid.replace")]
    if says == "plan":
        return WholeSpan(0, days.high), [Said("outlook.brake_fluid.plan")]
    return days, []


def _by_looking(need: _Need, call: Call) -> tuple[_Need, list[Said]]:
    """Return the need with a service brought forward by the findings of the walk. They never postpone it."""
    if call is Call.DUE:
        return _Need(None, _NOW), [Said("outlook.check.due")]
    if call is not Call.MAYBE:
        return need, []
    sooner = None if need.metres is None else Span(Fraction(0), need.metres.high)
    days = None if need.days is None else WholeSpan(0, need.days.high)
    return _Need(sooner, days), [Said("outlook.check.may_be_due")]


def _by_check(record: VehicleRecord, figures: Figures) -> Iterator[OutlookLine]:
    """Yield a line for each service without an interval.

    It is due if the walk calls for it; otherwise no date is given.
    """
    for service, looked in figures.intervals.by_check.items():
        if not suits(looked.suits, record.vehicle):
            continue
        call = call_for(record, service, figures)
        if renewal_of(record, f"services.{service}", service) is not None:
            yield _unscheduled(service, None, KnownBy.NOT_KNOWN, "renewed")
        elif call is Call.DUE:
            yield _unscheduled(service, _NOW, KnownBy.MEASURED, "due")
        elif call is Call.MAYBE:
            yield _unscheduled(service, WholeSpan(0, None), KnownBy.MEASURED, "may_be_due")
        elif call is Call.OTHER:
            yield _unscheduled(service, None, KnownBy.NOT_KNOWN, "other")
        else:
            yield _unscheduled(service, None, KnownBy.NOT_KNOWN, _looked(record, looked, figures))


def _looked(record: VehicleRecord, looked: JudgedByLooking, figures: Figures) -> str:
    """Return a message key: all points good, some put right, or not all looked at."""
    found = {point: found_at(record, point, figures.vocabulary) for point in looked.points}
    if all(finding is CheckResult.GOOD for finding in found.values()):
        return "good"
    return "answered" if set(found.values()) <= {CheckResult.GOOD, CheckResult.ATTENTION} else "not_checked"


def _unscheduled(service: str, days: WholeSpan | None, known_by: KnownBy, found: str) -> OutlookLine:
    """Return the outlook line of a service without an interval.

    If it was not checked or may be due, it is due at worst.
    """
    worst = NeedFacts(None, _NOW) if found in ("may_be_due", "not_checked") else None
    facts = ItemFacts(service, NeedFacts(None, days), worst=worst)
    return OutlookLine(facts, known_by, (Said(f"outlook.check.{found}"),), (service,))
