"""Read one vehicle's folder: its record, earlier inspections, filmed walk-around, and all problems within it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

from sitegen.memory import BuildMemory
from sitegen.reading.checks.everyday import check_everyday_words
from sitegen.reading.checks.named_files import photo_files
from sitegen.reading.checks.sale import check_locations
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.checks.vehicle import check_sheet
from sitegen.reading.earlier_inspections import EarlierFile, check_earlier, read_earlier
from sitegen.reading.remembering import ReadBefore, digest_of_files, packed, recall
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.validation.texts import check_languages
from sitegen.reading.video.footage import read_footage
from sitegen.reading.yaml.files import read_text
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import Node
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import Footage

INSPECTION = "inspection.yaml"


@dataclass(frozen=True)
class VehicleFiles:
    """The result of reading a vehicle's folder."""

    folder: Path
    shown_as: str
    """Name of the inspection file in messages."""
    record: VehicleRecord | None
    """The record with its earlier inspections, if all of them could be read. It may still have problems."""
    sheet: Sheet | None
    """The valid part of the record, for the checks across vehicles."""
    footage: Footage | None
    problems: tuple[Problem, ...]
    """All problems that can be found without looking at other vehicles."""
    read_from: str | None = None
    """Digest of all files that the record was read from. None if they changed during reading."""

    def holds(self, file: str) -> bool:
        """Return whether a file, as named in messages, belongs to this vehicle."""
        return file.startswith(self.shown_as.rpartition("/")[0] + "/")


def read_vehicle(
    folder: Path,
    shown_as: str,
    settings: SiteSettings | None,
    standards: Standards,
    memory: BuildMemory | None = None,
    inspection: str = INSPECTION,
) -> VehicleFiles:
    """Read a vehicle's folder. What the `memory` knows to have been read and found right is not read again.

    `settings` are those of the store, as far as they are known.
    """
    known = recalled(folder, shown_as, settings, standards, memory, inspection)
    if known is not None:
        return known
    found = read_anew(folder, shown_as, settings, standards, inspection)
    remember(found, standards.today, memory)
    return found


def recalled(
    folder: Path,
    shown_as: str,
    settings: SiteSettings | None,
    standards: Standards,
    memory: BuildMemory | None,
    inspection: str = INSPECTION,
) -> VehicleFiles | None:
    """Return what the `memory` knows of a vehicle's folder, if that was read from files that are as they were."""
    if memory is None or not memory.knows(folder.name):
        return None
    digest = digest_of_files(folder, folder / inspection, settings, standards)
    known = recall(memory, folder.name, digest, standards.today)
    if known is None:
        return None
    marks = marks_read_again(folder / inspection, shown_as)
    sheet = Sheet(known.record, marks, folder.name, photo_files(folder / "photos"), standards)
    return VehicleFiles(folder, shown_as, known.record, sheet, None, known.problems, digest)


def remember(found: VehicleFiles, today: date, memory: BuildMemory | None) -> bytes | None:
    """Return what was read of a record, packed; keep it, if it was right and holds until something changes."""
    record = found.sheet.record if found.record is None and found.sheet is not None else found.record
    if record is None:
        return None
    read = packed(ReadBefore(record, found.problems, today))
    is_right = all(problem.severity is Severity.WARNING for problem in found.problems)
    if memory is not None and found.read_from is not None and is_right and record.walk_around is None:
        memory.keep(found.folder.name, found.read_from, read)
    return read


def read_anew(
    folder: Path,
    shown_as: str,
    settings: SiteSettings | None,
    standards: Standards,
    inspection: str = INSPECTION,
) -> VehicleFiles:
    """Read a vehicle's folder.

    Where its values stand is read again if that is asked, seldom: of ten thousand vehicles it would fill the memory.
    """
    digest = digest_of_files(folder, folder / inspection, settings, standards)
    found = _read(folder, shown_as, settings, standards, inspection)
    if found.sheet is not None:
        found = replace(found, sheet=replace(found.sheet, marks=marks_read_again(folder / inspection, shown_as)))
    is_as_before = digest_of_files(folder, folder / inspection, settings, standards) == digest
    return replace(found, read_from=digest if is_as_before else None)


def _read(
    folder: Path, shown_as: str, settings: SiteSettings | None, standards: Standards, inspection: str
) -> VehicleFiles:
    if_none = f"take the whole folder {folder.name} away, if there is no such vehicle"
    reading = read_file(VehicleRecord, folder / inspection, shown_as, if_none)
    earlier = read_earlier(folder, folder / inspection, shown_as.rpartition("/")[0])
    problems = {*reading.problems, *(problem for file in earlier for problem in file.reading.problems)}
    problems.update(check_languages(reading.sound_part, reading.marks))
    sheet, footage = None, None
    if reading.sound_part is not None:
        record = _after(reading.sound_part, (file.reading.sound_part for file in earlier))
        sheet = Sheet(record, reading.marks, folder.name, photo_files(folder / "photos"), standards)
        is_whole = reading.record is not None
        footage, faults = read_footage(record, reading.marks, folder, is_whole)
        problems.update(faults)
        problems.update(_check(sheet, earlier, folder, settings, is_whole))
    before = [file.reading.record for file in earlier]
    whole = None if reading.record is None or None in before else _after(reading.record, before)
    return VehicleFiles(folder, shown_as, whole, sheet, footage, tuple(sorted(problems)))


def _check(
    sheet: Sheet, earlier: tuple[EarlierFile, ...], folder: Path, settings: SiteSettings | None, is_whole: bool
) -> Iterator[Problem]:
    """Yield the problems between values of one vehicle that are each valid by themselves."""
    yield from check_sheet(sheet, is_whole)
    yield from check_earlier(sheet.record, sheet.marks, earlier, folder, sheet.standards)
    if settings is not None:
        yield from check_everyday_words(settings, [sheet])
        yield from check_locations(settings, [sheet])


def _after(record: VehicleRecord, earlier: Iterable[VehicleRecord | None]) -> VehicleRecord:
    return record.after(inspected for inspected in earlier if inspected is not None)


def marks_read_again(inspection: Path, shown_as: str) -> Marks:
    """Return where everything stands in a record that could be read; it is read again if that is asked."""
    return Marks(shown_as, partial(_top_of, inspection, shown_as))


def _top_of(inspection: Path, shown_as: str) -> Node | None:
    text, _ = read_text(inspection, shown_as)
    return None if text is None else read_tree(text, shown_as)[0]
