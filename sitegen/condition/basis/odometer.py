"""The distance driven, and what the odometer statement allows to compute from it (49 CFR part 580)."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from sitegen.condition.basis.calendar import years
from sitegen.condition.basis.findings import Judged, UseFinding
from sitegen.condition.basis.renewals import odometer_now
from sitegen.condition.basis.values import Said, Span, Value
from sitegen.records.figures import Figures, OdometerExemption
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import OdometerStatement
from sitegen.records.vehicle_record import VehicleRecord


def counted_from(record: VehicleRecord) -> date:
    """Return the day from which distances and times are counted: the day of the latest odometer reading.

    If the inspection noted a higher reading than `odometer` has, it is the day of the inspection.
    """
    odometer, inspection = record.odometer, record.inspection
    readings = [(odometer.reading, odometer.read_on), (inspection.at, inspection.done_on)]
    known = [(reading, day) for reading, day in readings if reading is not None]
    return max(known)[1] if known else odometer.read_on


def judge_use(record: VehicleRecord, figures: Figures, as_of: date) -> Judged:
    """Return the finding about the yearly distance, compared with the average, and about the odometer statement."""
    odometer, average = record.odometer, figures.region.average_a_year
    a_year = distance_a_year(record)
    remarks = [_statement(record)]
    exempt = is_exempt(record, figures.region.odometer_exemption, as_of)
    if odometer.statement is OdometerStatement.EXEMPT and exempt is False:
        remarks.append(Said("use.not_exempt_by_age"))
    if odometer.statement is OdometerStatement.NOT_STATED and exempt:
        remarks.append(Said("use.may_be_exempt"))
    if a_year is not None:
        figures_said: dict[str, Value] = {"a_year": a_year, "average": average.value}
        remarks.append(Said(_comparison(a_year, average.value), figures_said))
    finding = UseFinding(
        statement=odometer.statement,
        reading=odometer.reading,
        a_year=a_year,
        remarks=tuple(remarks),
    )
    return Judged((finding,))


def may_project(record: VehicleRecord) -> bool:
    """Return whether the odometer statement allows projections by distance: the reading is the actual mileage."""
    return record.odometer.statement is OdometerStatement.ACTUAL and odometer_now(record) is not None


def why_no_projection(record: VehicleRecord) -> Said:
    """Return the sentence why nothing is projected by distance. Raises ValueError if projections are allowed."""
    if may_project(record):
        raise ValueError("this odometer may be relied on")
    if odometer_now(record) is None:
        return Said("outlook.odometer.no_reading")
    return Said(f"outlook.odometer.{record.odometer.statement.value.replace(' ', '_')}")


def model_year_begins(record: VehicleRecord) -> date:
    """Return January 1 of the model year, from which use is counted, as in 49 CFR 580.17."""
    return date(record.vehicle.year, 1, 1)


def in_use_from(record: VehicleRecord, as_of: date) -> date:
    """Return the first day on which the vehicle can have been in use, at the latest `as_of`."""
    return min(model_year_begins(record), as_of)


def distance_a_year(record: VehicleRecord) -> Distance | None:
    """Return the average distance a year over the vehicle's life. None if the reading is not reliable.

    Counted over whole days since January 1 of the model year, with years of 365.25 days; it is approximate, since the
    day of first use is not known. None in the first year, which is too short.
    """
    reading = record.odometer.reading
    age = years(model_year_begins(record), record.odometer.read_on)
    if reading is None or not may_project(record) or age < 1:
        return None
    return Distance.of_miles(reading.miles / age)


def odometer_between(record: VehicleRecord, earliest: date, latest: date) -> Span:
    """Return the range of possible odometer readings, in metres, between two days.

    It lies between the last known reading before and the first known reading after, and is never below zero.
    """
    known = [(earlier.read_on, earlier.reading) for earlier in record.earlier_readings]
    if record.odometer.reading is not None:
        known.append((record.odometer.read_on, record.odometer.reading))
    if record.inspection.at is not None:
        known.append((record.inspection.done_on, record.inspection.at))
    before = [reading.metres for day, reading in known if day <= earliest]
    after = [reading.metres for day, reading in known if day >= latest]
    now = odometer_now(record)
    return Span(max(before, default=Fraction(0)), min(after, default=None if now is None else now.metres))


def is_exempt(record: VehicleRecord, rule: OdometerExemption | None, as_of: date) -> bool | None:
    """Return whether the vehicle's age or weight exempts it from an odometer statement.

    None if the region has no such rule. Source: 49 CFR 580.17(a).
    """
    if rule is None:
        return None
    by_weight = rule.exempts_by_weight(record.vehicle.gross_weight_pounds)
    return by_weight or rule.exempts_by_age(record.vehicle.year, as_of)


def _statement(record: VehicleRecord) -> Said:
    key = f"use.statement.{record.odometer.statement.value.replace(' ', '_')}"
    reading = record.odometer.reading
    if reading is None:
        return Said("use.no_reading", {"read_on": record.odometer.read_on})
    return Said(key, {"reading": reading, "read_on": record.odometer.read_on})


def _comparison(a_year: Distance, average: Distance) -> str:
    """Return the message of how the distance a year compares with the average.

    Both are compared to the nearest thousand miles, since the average is per driver and not per vehicle.
    """
    ours, usual = round(a_year.miles / 1000), round(average.miles / 1000)
    if ours > usual:
        return "use.more_than_average"
    return "use.less_than_average" if ours < usual else "use.about_average"
