"""Reads every vehicle's folder, in order: what is not remembered by workers on this machine, where it is much."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from pathlib import Path

from sitegen.engine.workers import run_bounded
from sitegen.memory import BuildMemory
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.intern_pool import InternPool
from sitegen.reading.reference.figures import read_region
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.reading.remembering import unpacked
from sitegen.reading.vehicle_files import INSPECTION, VehicleFiles, marks_read_again, read_anew, recalled, remember
from sitegen.records.store import Region, SiteSettings
from sitegen.shared_data import content_folder

READ_HERE = 300
"""So many vehicles are read in the time that it takes workers to begin."""
AT_ONCE = 25
"""Vehicles given to a worker at a time."""
FEW = 500
"""So many records fit in memory as they are: they need not share what is equal in them."""
MEGABYTES_OF_RECORDS = 20.0
"""What they take, at most, about."""


def read_vehicles(
    folders: Sequence[Path],
    settings: SiteSettings | None,
    standards: Standards,
    memory: BuildMemory | None = None,
    workers: Executor | None = None,
    read_here: int = READ_HERE,
    few: int = FEW,
) -> Iterator[VehicleFiles]:
    """Yield what came of reading each folder, in their order, whoever reads them.

    `workers` must find the folders where they are here. Up to `read_here` do without. More than a `few` records share
    what is equal in them.
    """
    one = InternPool() if len(folders) > few else None
    known: dict[Path, VehicleFiles] = {}
    new: list[Path] = []
    for folder in folders:
        found = recalled(folder, _shown_as(folder), settings, standards, memory)
        if found is None:
            new.append(folder)
        else:
            known[folder] = _sharing(found, one)
    made: Iterable[VehicleFiles]
    if workers is None or len(new) <= read_here:
        made = (found for found, _ in _read_all(new, settings, standards, memory))
    else:
        made = _by_workers(new, settings, standards, memory, workers)
    for found in made:
        known[found.folder] = _sharing(found, one)
    yield from (known[folder] for folder in folders)


def _sharing(found: VehicleFiles, one: InternPool | None) -> VehicleFiles:
    if one is None:
        return found
    if found.record is not None:
        one.share(found.record)
    if found.sheet is not None and found.sheet.record is not found.record:
        one.share(found.sheet.record)
    return found


def _shown_as(folder: Path) -> str:
    return f"vehicles/{folder.name}/{INSPECTION}"


def _read_all(
    folders: Iterable[Path], settings: SiteSettings | None, standards: Standards, memory: BuildMemory | None
) -> Iterator[tuple[VehicleFiles, bytes | None]]:
    """Read folders, and yield what came of each beside its record as it was packed to be remembered."""
    for folder in folders:
        found = read_anew(folder, _shown_as(folder), settings, standards)
        yield found, remember(found, standards.today, memory)


@dataclass(frozen=True)
class _Sent:
    """What came of a folder, as a worker sends it: the standards that its sheet was held against stay there."""

    found: VehicleFiles
    """Without record and sheet."""
    packed: bytes | None
    """The record, or the sound part of a faulty one."""
    is_whole: bool
    photos: Mapping[str, bool]

    def with_standards(self, standards: Standards) -> VehicleFiles:
        if self.packed is None:
            return self.found
        folder, record = self.found.folder, unpacked(self.packed).record
        marks = marks_read_again(folder / INSPECTION, self.found.shown_as)
        sheet = Sheet(record, marks, folder.name, self.photos, standards)
        return replace(self.found, record=record if self.is_whole else None, sheet=sheet)


def _sent(found: VehicleFiles, packed: bytes | None) -> _Sent:
    photos = {} if found.sheet is None else found.sheet.photos
    return _Sent(replace(found, record=None, sheet=None), packed, found.record is not None, photos)


def _by_workers(
    folders: Sequence[Path],
    settings: SiteSettings | None,
    standards: Standards,
    memory: BuildMemory | None,
    workers: Executor,
) -> Iterator[VehicleFiles]:
    def submit(executor: Executor, batch: Sequence[Path]) -> Future[list[_Sent]]:
        return executor.submit(_read_batch, batch, settings, standards.region, standards.today, memory)

    batches = (folders[start : start + AT_ONCE] for start in range(0, len(folders), AT_ONCE))
    for _, read in run_bounded(workers, submit, ((batch, MEGABYTES_OF_RECORDS) for batch in batches)):
        yield from (sent.with_standards(standards) for sent in read)


def _read_batch(
    folders: Sequence[Path],
    settings: SiteSettings | None,
    region: Region | None,
    today: date,
    memory: BuildMemory | None,
) -> list[_Sent]:
    """Read some folders and remember them: what a worker does."""
    return [_sent(*read) for read in _read_all(folders, settings, _standards(region, today), memory)]


def standards_of(region: Region | None, today: date) -> Standards:
    """Return what sheets are checked against, in a region; None where the settings do not tell it."""
    content = content_folder()
    exemption = read_region(content, region).odometer_exemption if region is not None else None
    return Standards(today, region, read_vocabulary(content), read_plausible(content), exemption)


_standards = lru_cache(maxsize=1)(standards_of)
