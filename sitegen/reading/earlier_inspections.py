"""Read and check earlier inspections: complete records in `inspections/<day>.yaml`.

They share the vehicle's photos folder. A file that is byte for byte equal to `inspection.yaml` is ignored, because
an interrupted intake leaves such a copy and the next intake continues from there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sitegen.reading.checks.named_files import photo_files
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.checks.vehicle import CHECKS
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem, Severity
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import OdometerStatement
from sitegen.records.vehicle_record import VehicleRecord, not_looked_at_again

INSPECTIONS = "inspections"
_ROUNDING = Distance.of_miles(1).metres
"""Tolerance in metres between readings that were converted from miles to kilometers."""


@dataclass(frozen=True)
class EarlierFile:
    """One earlier inspection that was read."""

    day: str
    """Name of the file without its ending, which must be the day of the inspection."""
    reading: Reading[VehicleRecord]


def read_earlier(folder: Path, inspection: Path, shown_in: str) -> tuple[EarlierFile, ...]:
    """Return all earlier inspections in a vehicle's folder. `shown_in` names the folder in messages."""
    now = inspection.read_bytes() if inspection.is_file() else b""
    files = sorted((folder / INSPECTIONS).glob("*.yaml"))
    return tuple(
        EarlierFile(file.stem, read_file(VehicleRecord, file, f"{shown_in}/{INSPECTIONS}/{file.name}", "delete it"))
        for file in files
        if file.is_file() and not file.name.startswith(".") and file.read_bytes() != now
    )


def check_earlier(
    record: VehicleRecord, marks: Marks, earlier: tuple[EarlierFile, ...], folder: Path, standards: Standards
) -> Iterator[Problem]:
    """Yield the problems of earlier inspections, and contradictions between them and the current record."""
    sound = [(file, file.reading.sound_part) for file in earlier if file.reading.sound_part is not None]
    photos = photo_files(folder / "photos") if sound else {}
    for file, before in sound:
        sheet = Sheet(before, file.reading.marks, folder.name, photos, standards)
        for check in CHECKS:
            yield from check(sheet)
        yield from _names(record, file, before)
    in_order = sorted(sound, key=lambda entry: entry[1].inspection.done_on)
    following = [*((file.reading.marks, before) for file, before in in_order), (marks, record)]
    for place, (_, before) in enumerate(in_order):
        yield from _order(in_order[place][0].reading.marks, before, *following[place + 1])
    yield from _silences(record, marks)


def _names(record: VehicleRecord, file: EarlierFile, before: VehicleRecord) -> Iterator[Problem]:
    """Yield problems if an earlier inspection names another vehicle, or another day than its file name."""
    marks = file.reading.marks
    if before.vin != record.vin:
        yield marks.problem(("vin",), f"{record.vin}, as in the record", "find out whose inspection this is")
    if before.stock not in (record.stock, *record.formerly):
        mend = "add the old number to formerly in the record, or mend it here"
        yield marks.problem(("stock",), f"{record.stock}, or a number it had formerly", mend)
    if before.inspection.done_on.isoformat() != file.day:
        expected = f"{file.day}, the day that the file is named by"
        yield marks.problem(("inspection", "done_on"), expected, "rename the file, or mend the day")


def _order(before_marks: Marks, before: VehicleRecord, marks: Marks, after: VehicleRecord) -> Iterator[Problem]:
    """Yield problems at the later inspection if days or odometer readings run backward between two inspections."""
    day, line = before.inspection.done_on, before_marks.value_place(("inspection", "done_on")).line
    if after.inspection.done_on <= day:
        expected = f"a day after {day.isoformat()}, that of {before_marks.file}:{line}"
        yield marks.problem(("inspection", "done_on"), expected, "check both days; the newest is inspection.yaml")
    was, was_at = _reading(before)
    if was is None:
        return
    is_stated = after.odometer.statement is not OdometerStatement.NOT_ACTUAL
    for path, reading in (("odometer", after.odometer.reading), ("inspection", after.inspection.at)):
        at: KeyPath = (path, "reading" if path == "odometer" else "at")
        if reading is not None and reading.metres < was.metres - _ROUNDING:
            place = before_marks.value_place(was_at)
            expected = f"at least {was.written}, the reading of {before_marks.file}:{place.line}"
            severity = Severity.ERROR if is_stated else Severity.WARNING
            yield marks.problem(at, expected, "check both readings and both days", severity=severity)


def _reading(record: VehicleRecord) -> tuple[Distance | None, KeyPath]:
    readings: list[tuple[Distance, KeyPath]] = []
    if record.odometer.reading is not None:
        readings.append((record.odometer.reading, ("odometer", "reading")))
    if record.inspection.at is not None:
        readings.append((record.inspection.at, ("inspection", "at")))
    return max(readings, key=lambda entry: entry[0].metres, default=(None, ("odometer",)))


def _silences(record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
    """Yield a warning for each open finding of an earlier inspection that this record does not mention."""
    for noted in not_looked_at_again(record):
        group = noted.about.split(".")[0]
        mend = (
            f"look again and write what you found, or say what became of it: work_done with settles or renews, or "
            f"history with about: [{noted.about}]"
        )
        found = f"nothing of {noted.about}, noted on {noted.on.isoformat()}"
        expected = "a word on what an earlier inspection noted; the page says that it was not looked at again"
        yield marks.problem((group,), expected, mend, found=found, severity=Severity.WARNING)
