"""Read one vehicle's folder: its first inspection, visits, film, and all problems within it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from sitegen.reading.checks.everyday import check_everyday_words
from sitegen.reading.checks.named_files import photo_files
from sitegen.reading.checks.sale import check_locations
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.checks.vehicle import check_sheet
from sitegen.reading.contradictions.contradictions import check_contradictions
from sitegen.reading.contradictions.sellers import check_sellers_words
from sitegen.reading.folded_marks import FoldedMarks
from sitegen.reading.reference.figures import read_lexicons
from sitegen.reading.validation.readable_part import HIDDEN, is_unread
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.validation.texts import check_languages
from sitegen.reading.video.film_files import read_film
from sitegen.reading.visits import VISITS, fold_visits, read_visits
from sitegen.reading.yaml.files import read_text
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import Node, parse_path
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.film import ClipFiles
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import FIRST_LOOK
from sitegen.records.visits.visit import VISIT, Visit
from sitegen.shared_data import content_folder

INSPECTION = "inspection.yaml"


@dataclass(frozen=True)
class Written:
    """The first inspection and the visits of a vehicle, by file name, as written."""

    first: VehicleRecord
    visits: Mapping[str, Visit]


@dataclass(frozen=True)
class VehicleFiles:
    """The result of reading a vehicle's folder."""

    folder: Path
    shown_as: str
    """Name of the inspection file in messages."""
    record: VehicleRecord | None
    """The current record after all visits, if all files could be read. It may still have problems."""
    sheet: Sheet | None
    """The part of the record that can be read, for the checks across vehicles."""
    clips: tuple[ClipFiles, ...]
    """The files of each clip of the film."""
    problems: tuple[Problem, ...]
    """All problems that can be found without looking at other vehicles."""
    written: Written | None = None
    """The first inspection and the visits that `record` was folded from."""

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
        clips: tuple[ClipFiles, ...],
        problems: tuple[Problem, ...],
    ) -> VehicleFiles:
        """Return a vehicle whose files were read before."""
        shown_as = f"vehicles/{folder.name}/{INSPECTION}"
        sheet = Sheet(record, marks_read_again(folder / INSPECTION, shown_as, record), folder.name, photos, standards)
        return cls(folder, shown_as, record, sheet, clips, problems)

    def holds(self, file: str) -> bool:
        """Return whether a path, written as in messages (`vehicles/K102/...`), lies in this vehicle's folder."""
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
    marks = marks_read_again(folder / inspection, shown_as, found.sheet.record, found.sheet.is_whole)
    return replace(found, sheet=replace(found.sheet, marks=marks))


def _read(
    folder: Path, shown_as: str, settings: SiteSettings | None, standards: Standards, inspection: str
) -> VehicleFiles:
    if_none = f"take the whole folder {folder.name} away, if there is no such vehicle"
    reading = read_file(VehicleRecord, folder / inspection, shown_as, if_none)
    visits = read_visits(folder, shown_as.rpartition("/")[0])
    problems = {*reading.problems, *(problem for file in visits for problem in file.reading.problems)}
    problems.update(check_languages(reading.readable_part, reading.marks))
    if reading.readable_part is None:
        return VehicleFiles(folder, shown_as, None, None, (), tuple(sorted(problems)))
    current, of_visits = fold_visits(reading.readable_part, visits, standards.today)
    readings: dict[str, Reading[Any]] = {FIRST_LOOK: reading, **{file.name: file.reading for file in visits}}
    marks = FoldedMarks(current.record, readings) if visits else reading.marks
    is_whole = all(file.record is not None for file in readings.values())
    unread = frozenset(path for file in readings.values() for path in file.unread)
    sheet = Sheet(current.record, marks, folder.name, photo_files(folder / "photos"), standards, unread)
    clips, faults = read_film(current.record, marks, folder, is_whole)
    found = [*of_visits, *faults, *_check(sheet, settings)]
    problems.update(found if is_whole else _that_are_sure(found, sheet, readings.values()))
    written = Written(
        reading.readable_part,
        {file.name: visit for file in visits if (visit := file.reading.record) is not None},
    )
    whole = current.record if is_whole else None
    return VehicleFiles(folder, shown_as, whole, sheet, clips, tuple(sorted(problems)), written=written)


def _that_are_sure(problems: Iterable[Problem], sheet: Sheet, files: Iterable[Reading[Any]]) -> Iterator[Problem]:
    """Yield the problems that do not rest on a value that could not be read.

    Most warnings compare values of several groups, so there are none of a record whose main values could not be read.
    """
    unread = {file.marks.file: file.unread for file in files}
    comparable = not any(path[0] in (*_COMPARED, HIDDEN) for path in sheet.unread)
    for problem in problems:
        is_doubtful = is_unread(parse_path(problem.where), unread.get(problem.file, ())) if problem.where else False
        if not is_doubtful and (comparable or problem.severity is Severity.ERROR):
            yield problem


_COMPARED = ("vehicle", "odometer", "inspection", "earlier_readings", "work_done", "services", "history", "status")


def _check(sheet: Sheet, settings: SiteSettings | None) -> Iterator[Problem]:
    """Yield the problems between values of one vehicle that are each valid by themselves."""
    yield from check_sheet(sheet)
    yield from check_contradictions(sheet)
    yield from check_sellers_words(sheet, read_lexicons(content_folder()))
    if settings is not None:
        yield from check_everyday_words(settings, [sheet])
        yield from check_locations(settings, [sheet])


def read_current(folder: Path, shown_as: str, today: date) -> tuple[VehicleRecord | None, Marks]:
    """Return the current record of a vehicle's folder, without further checks, and the places of its values.

    `shown_as` names the inspection file. The record is None if that file has no valid part.
    """
    reading = read_file(VehicleRecord, folder / INSPECTION, shown_as)
    if reading.sound_part is None:
        return None, reading.marks
    visits = read_visits(folder, shown_as.rpartition("/")[0])
    current, _ = fold_visits(reading.sound_part, visits, today)
    readings: dict[str, Reading[Any]] = {FIRST_LOOK: reading, **{file.name: file.reading for file in visits}}
    return current.record, FoldedMarks(current.record, readings) if visits else reading.marks


def marks_read_again(inspection: Path, shown_as: str, record: VehicleRecord | None, is_whole: bool = True) -> Marks:
    """Return the places of a record's values. The files are parsed again when a place is first needed.

    `is_whole` says that no value had an error.
    """
    if record is not None and record.looks:
        return FoldedMarks(record, _Again(inspection, shown_as))
    return Marks(shown_as, partial(_top_of, inspection, shown_as, is_whole))


class _Again(Mapping[str, Reading[Any]]):
    """The readings of a vehicle's files by the visit's name, each read when it is first needed."""

    def __init__(self, inspection: Path, shown_as: str) -> None:
        self._inspection, self._shown_as = inspection, shown_as
        self._found: dict[str, Reading[Any]] = {}

    def __getitem__(self, name: str) -> Reading[Any]:
        if name not in self._found:
            self._found[name] = self._read(name)
        return self._found[name]

    def _read(self, name: str) -> Reading[Any]:
        if name == FIRST_LOOK:
            return read_file(VehicleRecord, self._inspection, self._shown_as)
        file = f"{VISITS}/{name}.yaml"
        return read_file(VISIT, self._inspection.parent / file, f"{self._shown_as.rpartition('/')[0]}/{file}")

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def _top_of(inspection: Path, shown_as: str, is_whole: bool) -> Node | None:
    text, _ = read_text(inspection, shown_as)
    top = None if text is None else read_tree(text, shown_as)[0]
    # Keys that were misspelled are found again only by validating.
    return top if is_whole or top is None else read_file(VehicleRecord, inspection, shown_as).marks.top
