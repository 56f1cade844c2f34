"""An odometer that runs backwards: readings that are lower than an earlier one."""

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

_RUNS_ON = {OdometerStatement.ACTUAL, OdometerStatement.EXEMPT, OdometerStatement.NOT_STATED}
_ROUNDING = Distance.of_miles(1).metres
"""A reading turned from miles to kilometers, or back, in whole units may be off by this much."""


@dataclass(frozen=True)
class _Reading:
    path: KeyPath
    """Of the distance."""
    distance: Distance
    when: PartialDate | None


def check_odometer(sheet: Sheet) -> Iterator[Problem]:
    """Yield the fewest readings without which the rest only ever rises.

    They are errors where the odometer is said to be right, and warnings where it is said not to be.
    """
    statement = sheet.record.odometer.statement
    severity = Severity.ERROR if statement in _RUNS_ON else Severity.WARNING
    for reading, other in _out_of_order([reading for reading in _readings(sheet) if reading.distance is not None]):
        place = sheet.marks.value_place(other.path)
        later = reading.when is None or (other.when is not None and other.when.earliest > reading.when.latest)
        bound = "at most" if later else "at least"
        day = f" of {other.when.written}" if other.when is not None else ""
        expected = f"{bound} {other.distance.written}, the reading{day} on line {place.line}"
        yield sheet.marks.problem(reading.path, expected, "check both readings and both days", severity=severity)


def _readings(sheet: Sheet) -> list[_Reading]:
    """Return every reading in a record that has one, the odometer's own first: it is the last to be doubted."""
    record = sheet.record
    found: list[tuple[KeyPath, Distance | None, PartialDate | None]] = [
        (("odometer", "reading"), record.odometer.reading, _day(record.odometer.read_on)),
        (("inspection", "at"), record.inspection.at, _day(record.inspection.done_on)),
    ]
    for place, earlier in enumerate(record.earlier_readings):
        found.append((("earlier_readings", place, "reading"), earlier.reading, _day(earlier.read_on)))
    for place, work in enumerate(record.work_done):
        found.append((("work_done", place, "at"), work.at, _day(work.on)))
    for place, service in enumerate(record.services):
        found.append((("services", place, "at"), service.at, service.done_on))
    for section in ("tires", "brakes"):
        parts = getattr(record, section)
        for wheel in type(parts).model_fields:
            part = getattr(parts, wheel)
            if hasattr(part, "fitted_at"):
                found.append(((section, wheel, "fitted_at"), part.fitted_at, part.fitted_on))
    return [_Reading(path, distance, when) for path, distance, when in found if distance is not None]


def _day(day: date) -> PartialDate:
    return PartialDate(day, day, day.isoformat())


def _out_of_order(readings: list[_Reading]) -> Iterator[tuple[_Reading, _Reading]]:
    """Yield each reading to be doubted, and one that it does not go with: first the one that goes with fewest."""
    kept = list(readings)
    while True:
        clashes = {
            place: [other for other in kept if _clash(reading, other, readings[0])]
            for place, reading in enumerate(kept)
        }
        worst = max(clashes, key=lambda place: (len(clashes[place]), place), default=0)
        if not clashes.get(worst):
            return
        yield kept.pop(worst), clashes[worst][0]


def _clash(one: _Reading, other: _Reading, now: _Reading) -> bool:
    """Whether two readings cannot both be right. What has no day was at the latest on the day of the reading now."""
    if one.when is None or other.when is None:
        undated, dated = (one, other) if one.when is None else (other, one)
        return dated is now and undated is not now and _exceeds(undated, now)
    if one.when.latest < other.when.earliest:
        return _exceeds(one, other)
    return other.when.latest < one.when.earliest and _exceeds(other, one)


def _exceeds(one: _Reading, other: _Reading) -> bool:
    return one.distance.metres > other.distance.metres + _ROUNDING
