"""Read one vehicle's folder: its record, earlier inspections, filmed walk-around, and all problems within it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from sitegen.reading.checks.everyday import check_everyday_words
from sitegen.reading.checks.named_files import photo_files
from sitegen.reading.checks.sale import check_locations
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.checks.vehicle import check_sheet
from sitegen.reading.contradictions.contradictions import check_contradictions
from sitegen.reading.contradictions.sellers import check_sellers_words
from sitegen.reading.earlier_inspections import EarlierFile, check_earlier, read_earlier
from sitegen.reading.reference.figures import read_lexicons
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
from sitegen.shared_data import content_folder

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
    """Digest of the record and its footage. None if they have an error."""

    @property
    def has_error(self) -> bool:
        """Whether any of its problems is an error."""
        return any(problem.severity is Severity.ERROR for problem in self.problems)

    @classmethod
    def of(
        cls,
        folder: Path,
        record: VehicleRecord,
        photos: Mapping[str, bool],
        standards: Standards,
        footage: Footage | None,
        problems: tuple[Problem, ...],
        digest: str,
    ) -> VehicleFiles:
        """Return a vehicle whose files were read before."""
        shown_as = f"vehicles/{folder.name}/{INSPECTION}"
        sheet = Sheet(record, marks_read_again(folder / INSPECTION, shown_as), folder.name, photos, standards)
        return cls(folder, shown_as, record, sheet, footage, problems, digest)

    def holds(self, file: str) -> bool:
        """Return whether a file, as named in messages, belongs to this vehicle."""
        return file.startswith(self.shown_as.rpartition("/")[0] + "/")


def read_vehicle(
    folder: Path,
    shown_as: str,
    settings: SiteSettings | None,
    standards: Standards,
    inspection: str = INSPECTION,
) -> VehicleFiles:
    """Read a vehicle's folder. `settings` are the valid part of the store's settings.

    The places of values are not kept, since those of ten thousand vehicles would fill the memory. They are found
    again when a problem needs them.
    """
    found = _read(folder, shown_as, settings, standards, inspection)
    if found.sheet is None:
        return found
    return replace(found, sheet=replace(found.sheet, marks=marks_read_again(folder / inspection, shown_as)))


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
    if is_whole:
        yield from check_contradictions(sheet)
        yield from check_sellers_words(sheet, read_lexicons(content_folder()))
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
