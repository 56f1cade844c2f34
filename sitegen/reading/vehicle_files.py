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
    """Read a vehicle's folder, or return the cached result if its files are unchanged.

    `settings` are the store's, or None if they are invalid. `memory` is the build cache; None reads without a cache.
    """
    cached = recalled(folder, shown_as, settings, standards, memory, inspection)
    if cached is not None:
        return cached
    files = read_anew(folder, shown_as, settings, standards, inspection)
    remember(files, standards.today, memory)
    return files


def recalled(
    folder: Path,
    shown_as: str,
    settings: SiteSettings | None,
    standards: Standards,
    memory: BuildMemory | None,
    inspection: str = INSPECTION,
) -> VehicleFiles | None:
    """Return the cached result for a vehicle's folder if its files are unchanged, else None."""
    if memory is None or not memory.knows(folder.name):
        return None
    digest = digest_of_files(folder, folder / inspection, settings, standards)
    cached = recall(memory, folder.name, digest, standards.today)
    if cached is None:
        return None
    marks = marks_read_again(folder / inspection, shown_as)
    sheet = Sheet(cached.record, marks, folder.name, photo_files(folder / "photos"), standards)
    return VehicleFiles(folder, shown_as, cached.record, sheet, None, cached.problems, digest)


def remember(files: VehicleFiles, today: date, memory: BuildMemory | None) -> bytes | None:
    """Return the record in packed form, and cache it if it has no errors. Return None if there is no record.

    A vehicle with a filmed walk-around is not cached.
    """
    record = files.sheet.record if files.record is None and files.sheet is not None else files.record
    if record is None:
        return None
    content = packed(ReadBefore(record, files.problems, today))
    is_right = all(problem.severity is Severity.WARNING for problem in files.problems)
    if memory is not None and files.read_from is not None and is_right and record.walk_around is None:
        memory.keep(files.folder.name, files.read_from, content)
    return content


def read_anew(
    folder: Path,
    shown_as: str,
    settings: SiteSettings | None,
    standards: Standards,
    inspection: str = INSPECTION,
) -> VehicleFiles:
    """Read a vehicle's folder without the cache.

    The places of its values are dropped and parsed again on demand, because those of ten thousand vehicles would fill
    the memory.
    """
    digest = digest_of_files(folder, folder / inspection, settings, standards)
    files = _read(folder, shown_as, settings, standards, inspection)
    if files.sheet is not None:
        files = replace(files, sheet=replace(files.sheet, marks=marks_read_again(folder / inspection, shown_as)))
    is_unchanged = digest_of_files(folder, folder / inspection, settings, standards) == digest
    return replace(files, read_from=digest if is_unchanged else None)


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
    """Return the places of a record's values. The file is parsed again when a place is first needed."""
    return Marks(shown_as, partial(_top_of, inspection, shown_as))


def _top_of(inspection: Path, shown_as: str) -> Node | None:
    text, _ = read_text(inspection, shown_as)
    return None if text is None else read_tree(text, shown_as)[0]
