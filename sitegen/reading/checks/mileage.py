"""Checks of the mileage: whether a statement of `exempt` is allowed, and whether the yearly distance is plausible."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from sitegen.reading.checks.sheet import Sheet
from sitegen.records.problems import Problem, Severity
from sitegen.records.quantities import METRES_PER_MILE, Distance
from sitegen.records.vehicle import OdometerStatement, Status

_DAYS_A_YEAR = Fraction(1461, 4)
_UNRELIABLE = {OdometerStatement.NOT_ACTUAL, OdometerStatement.EXCEEDS_MECHANICAL_LIMITS}


def check_exemption(sheet: Sheet) -> Iterator[Problem]:
    """Yield a problem if the odometer statement is `exempt` but neither age nor weight exempts the vehicle.

    An error if the gross vehicle weight rating is given, else a warning. The day of sale decides, or today if unsold.
    Source: 49 CFR 580.17(a).
    """
    record, rule = sheet.record, sheet.standards.odometer_exemption
    if rule is None or record.odometer.statement is not OdometerStatement.EXEMPT:
        return
    sold_on = record.sold_on if record.status is Status.SOLD else None
    by_weight = rule.exempts_by_weight(record.vehicle.gross_weight_pounds)
    if by_weight or rule.exempts_by_age(record.vehicle.year, sold_on or sheet.standards.today):
        return
    expected = f"another statement: a {record.vehicle.year} vehicle is not exempt by its age yet ({rule.source})"
    mend = "write actual, not actual, exceeds mechanical limits or not stated, as its papers say"
    if by_weight is None:
        mend += f"; or write vehicle.gross_weight_pounds, if it is above {rule.above_pounds:,}"
    severity = Severity.WARNING if by_weight is None else Severity.ERROR
    yield sheet.marks.problem(("odometer", "statement"), expected, mend, severity=severity)


def check_use(sheet: Sheet) -> Iterator[Problem]:
    """Yield a warning if the average distance per year exceeds the plausible range."""
    record, plausible = sheet.record, sheet.standards.plausible.distance_a_year
    reading = record.odometer.reading
    if reading is None or record.odometer.statement in _UNRELIABLE:
        return
    days = (record.odometer.read_on - date(record.vehicle.year, 1, 1)).days
    years = max(Fraction(days) / _DAYS_A_YEAR, Fraction(1))
    most = plausible.high.metres * years
    if reading.metres > most:
        expected = f"at most {_whole(most, reading)} since January 1, {record.vehicle.year} ({plausible.known})"
        mend = "check the figure, its unit and the model year, and leave it if they are right"
        path = ("odometer", "reading")
        yield sheet.marks.problem(path, expected, mend, severity=Severity.WARNING)


def _whole(metres: Fraction, like: Distance) -> str:
    """Return a distance, in whole units, in the unit of another distance."""
    if like.written.endswith("km"):
        return f"{round(metres / 1000):,} km"
    return f"{round(metres / METRES_PER_MILE):,} mi"
