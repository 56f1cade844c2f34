"""Check of odometer readings: a later reading must not be lower than an earlier one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.base import PartialDate
from sitegen.records.problems import Problem, Severity
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import OdometerStatement

_RELIABLE = {OdometerStatement.ACTUAL, OdometerStatement.EXEMPT, OdometerStatement.NOT_STATED}
_ROUNDING = Distance.of_miles(1).metres
"""Tolerance in metres: a reading converted between miles and kilometers in whole units may be off by this much."""


@dataclass(frozen=True)
class _Reading:
    """One odometer reading. `path` leads to the distance; `when` is None if the reading has no date."""

    path: KeyPath
    """Of the distance."""
    distance: Distance
    when: PartialDate | None


def check_odometer(sheet: Sheet) -> Iterator[Problem]:
    """Yield a problem for each reading that must be wrong: the fewest readings whose removal leaves the rest rising.

    Errors if the odometer statement vouches for the reading, else warnings.
    """
    statement = sheet.record.odometer.statement
    severity = Severity.ERROR if statement in _RELIABLE else Severity.WARNING
    for reading, other in _out_of_order([reading for reading in _readings(sheet) if reading.distance is not None]):
        place = sheet.marks.value_place(other.path)
        later = reading.when is None or (other.when is not None and other.when.earliest > reading.when.latest)
        bound = "at most" if later else "at least"
        day = f" of {other.when.written}" if other.when is not None else ""
        expected = f"{bound} {other.distance.written}, the reading{day} on line {place.line}"
        yield sheet.marks.problem(reading.path, expected, "check both readings and both days", severity=severity)


def _readings(sheet: Sheet) -> list[_Reading]:
    """Return all odometer readings in a record, the odometer's own first, because it is the last to be doubted."""
    record = sheet.record
    candidates: list[tuple[KeyPath, Distance | None, PartialDate | None]] = [
        (("odometer", "reading"), record.odometer.reading, _day(record.odometer.read_on)),
        (("inspection", "at"), record.inspection.at, _day(record.inspection.done_on)),
    ]
    for place, earlier in enumerate(record.earlier_readings):
        candidates.append((("earlier_readings", place, "reading"), earlier.reading, _day(earlier.read_on)))
    for place, work in enumerate(record.work_done):
        candidates.append((("work_done", place, "at"), work.at, _day(work.on)))
    for place, service in enumerate(record.services):
        candidates.append((("services", place, "at"), service.at, service.done_on))
    for section in ("tires", "brakes"):
        parts = getattr(record, section)
        for wheel in type(parts).model_fields:
            part = getattr(parts, wheel)
            if hasattr(part, "fitted_at"):
                candidates.append(((section, wheel, "fitted_at"), part.fitted_at, part.fitted_on))
    return [_Reading(path, distance, when) for path, distance, when in candidates if distance is not None]


def _day(day: date) -> PartialDate:
    return PartialDate(day, day, day.isoformat())


def _out_of_order(readings: list[_Reading]) -> Iterator[tuple[_Reading, _Reading]]:
    """Yield pairs of a doubted reading and a reading that contradicts it, most contradicted reading first."""
    remaining = list(readings)
    while True:
        clashes = {
            place: [other for other in remaining if _clash(reading, other, readings[0])]
            for place, reading in enumerate(remaining)
        }
        worst = max(clashes, key=lambda place: (len(clashes[place]), place), default=0)
        if not clashes.get(worst):
            return
        yield remaining.pop(worst), clashes[worst][0]


def _clash(first: _Reading, other: _Reading, now: _Reading) -> bool:
    """Return whether two readings contradict each other.

    A reading without a date is compared only with the current reading (`now`), which it must not exceed.
    """
    if first.when is None or other.when is None:
        undated, dated = (first, other) if first.when is None else (other, first)
        return dated is now and undated is not now and _exceeds(undated, now)
    if first.when.latest < other.when.earliest:
        return _exceeds(first, other)
    return other.when.latest < first.when.earliest and _exceeds(other, first)


def _exceeds(first: _Reading, other: _Reading) -> bool:
    return first.distance.metres > other.distance.metres + _ROUNDING
