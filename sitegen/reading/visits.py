"""Read and check the visits of a vehicle: `visits/<moment>.yaml`, dated files with the values that changed since.

The checks compare each visit with the record as the visits before it left it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pydantic import ValidationError

from sitegen.reading.validation.did_you_mean import LIKENESS_OF_NAMES, did_you_mean
from sitegen.reading.validation.readable_part import is_unread
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.validation.texts import check_languages
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath, parse_path
from sitegen.records.problems import Problem, Severity
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import Current, current_record, in_order
from sitegen.records.visits.visit import VISIT, DefectAtVisit, DefectNow, Visit

VISITS = "visits"
_NEEDED_OF_A_DEFECT = ("kind", "where", "affects", "words")
_ROUNDING = Distance.of_miles(1).metres
"""Tolerance in metres between readings that were converted from miles to kilometers."""


@dataclass(frozen=True)
class VisitFile:
    """One visit that was read. `name` is its file name without its ending."""

    name: str
    reading: Reading[Visit]


def read_visits(folder: Path, shown_in: str) -> tuple[VisitFile, ...]:
    """Return all visits in a vehicle's folder, by file name. `shown_in` names the folder in messages."""
    return tuple(
        VisitFile(file.stem, read_file(VISIT, file, f"{shown_in}/{VISITS}/{file.name}", "delete it"))
        for file in sorted((folder / VISITS).glob("*.yaml"))
        if file.is_file() and not file.name.startswith(".")
    )


def fold_visits(
    first: VehicleRecord, files: tuple[VisitFile, ...], today: date
) -> tuple[Current, tuple[Problem, ...]]:
    """Return the current record after all visits that could be read and applied, and every problem, sorted."""
    problems = {problem for file in files for problem in file.reading.problems}
    readings = {file.name: file.reading for file in files}
    sound = {name: visit for name, reading in readings.items() if (visit := reading.readable_part) is not None}
    current = current_record(first, {})
    applied: dict[str, Visit] = {}
    for name, visit in in_order(sound):
        reading = readings[name]
        problems.update(check_languages(visit, reading.marks))
        mistakes = [
            problem
            for problem in _check(name, visit, reading, current, today)
            if not is_unread(parse_path(problem.where), reading.unread)
        ]
        problems.update(mistakes)
        try:
            current = current_record(first, {**applied, name: visit})
            applied[name] = visit
        except ValidationError as error:
            problems.update([] if mistakes else _contradictions(error, reading))
    problems.update(_unknown_withdrawals(current, readings))
    problems.update(_differing_values(current, readings))
    return current, tuple(sorted(problems))


def _check(name: str, visit: Visit, reading: Reading[Visit], current: Current, today: date) -> Iterator[Problem]:
    """Yield the problems of one visit, given the current record before it."""
    marks, record = reading.marks, current.record
    first_day = record.inspection.done_on
    if not name.startswith(visit.day.isoformat()):
        expected = f"a file name that begins with the day of the visit ({visit.day.isoformat()})"
        yield marks.problem(("on",), expected, "rename the file, or correct the day")
    if visit.day > today:
        yield marks.problem(
            ("on",), f"a day up to today, {today.isoformat()}", "check the year, the month and the day"
        )
    elif visit.day < first_day:
        expected = f"a day since {first_day.isoformat()}, the day of the first inspection"
        yield marks.problem(("on",), expected, "check both days")
    before = record.odometer.reading
    if visit.at is not None and before is not None and visit.at.metres < before.metres - _ROUNDING:
        expected = f"at least {before.written}, the reading before this visit"
        yield marks.problem(("at",), expected, "check both readings and both days")
    yield from _check_finished(visit, record, marks)
    known = list(record.defects_ever())
    for place, defect in enumerate(visit.defects):
        yield from _check_defect(("defects", place), defect, visit, reading, known)


def _check_finished(visit: Visit, record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
    """Yield an error for each promise that work is said to fulfill, and that the record does not have."""
    promises = [promise.id for promise in record.before_delivery if promise.id is not None]
    for number, work in enumerate(getattr(visit, "work_done", None) or ()):
        for place, name in enumerate(work.finishes):
            if name not in promises:
                mend = did_you_mean(name, promises, "give the promise an id, or leave this out", LIKENESS_OF_NAMES)
                path = ("work_done", number, "finishes", place)
                yield marks.problem(path, "the id of a promise under before_delivery", mend)


def _check_defect(
    path: KeyPath, defect: DefectAtVisit, visit: Visit, reading: Reading[Visit], known: list[str]
) -> Iterator[Problem]:
    """Yield the problems of one defect: an unknown id, missing keys of a new one, a better state without a reason."""
    marks = reading.marks
    missing = [key for key in _NEEDED_OF_A_DEFECT if getattr(defect, key) is None]
    if defect.id not in known and (defect.now is not None or missing):
        otherwise = f"for a new defect, leave out now and write {', '.join(_NEEDED_OF_A_DEFECT)}"
        mend = did_you_mean(defect.id, known, otherwise, LIKENESS_OF_NAMES)
        yield marks.problem((*path, "id"), "the id of a defect of this vehicle, or a whole new defect", mend)
    elif defect.id in known and defect.now is None:
        mend = f"add now: {', '.join(DefectNow)}"
        yield marks.problem(path, "the state of a known defect", mend, found="no now")
    works = getattr(visit, "work_done", None) or ()
    is_settled = any(defect.id in work.settles for work in works)
    if defect.now is DefectNow.PUT_RIGHT and defect.done is None and not is_settled:
        mend = f"add done: ..., or work_done with settles: [{defect.id}]"
        yield marks.problem(
            (*path, "now"), "the repair that put the defect right", mend, found="put right, with no word"
        )
    if defect.now is DefectNow.NOT_FOUND and defect.reason is None:
        mend = "add reason: ..., such as what was taken for a defect"
        yield marks.problem((*path, "now"), "the reason", mend, found="not found, without a reason")


def _contradictions(error: ValidationError, reading: Reading[Visit]) -> Iterator[Problem]:
    """Yield a problem for each value that does not go with the record before the visit."""
    for details in error.errors(include_url=False):
        steps = [step for step in details["loc"] if isinstance(step, str | int)]
        path = tuple(steps[:1])
        expected = "a value that goes with the record before this visit"
        found = f"{'.'.join(map(str, steps))}: {details['msg']}"
        yield reading.marks.problem(path, expected, "correct it, or state the group as a whole", found=found)


def _unknown_withdrawals(current: Current, readings: Mapping[str, Reading[Visit]]) -> Iterator[Problem]:
    paths = [path for path in current.stacks if path[0] not in ("history", "work_done", "before_delivery")]
    names = sorted({".".join(path[:length]) for path in paths for length in range(1, len(path) + 1)})
    for name, text in current.unknown_withdrawals:
        marks = readings[name].marks
        place = marks.texts(("withdraw",)).index(text)
        mend = did_you_mean(text, names, "write the path of the value, such as tires.left_front.tread.inner")
        yield marks.problem(("withdraw", place), "the path of a value that was stated before", mend)


def _differing_values(current: Current, readings: Mapping[str, Reading[Visit]]) -> Iterator[Problem]:
    """Yield a warning at the later of two visits on one day that state a value differently."""
    for path, before, last in current.differing():
        reading = readings.get(last.source.visit)
        if reading is not None and path[0] not in ("odometer", "status", "price"):
            origin = f"{VISITS}/{before.source.visit}.yaml" if before.source.visit else "inspection.yaml"
            found = f"another value than in {origin}, of the same day"
            mend = "check both, and withdraw the wrong one; until then this one applies"
            yield reading.marks.problem(path, "one value on one day", mend, found=found, severity=Severity.WARNING)
