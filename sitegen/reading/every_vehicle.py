"""Reads every vehicle's folder, in order: what is not remembered by workers on this machine, where it is much."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from pathlib import Path

from sitegen.memory import BuildMemory
from sitegen.reading.checks.sheet import Sheet, Standards
from sitegen.reading.one_of_each import OneOfEach
from sitegen.reading.reference.figures import read_region
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.reading.remembering import digest_of_files
from sitegen.reading.vehicle_files import INSPECTION, VehicleFiles, marks_read_again, read_anew, recalled, remember
from sitegen.records.store import Region, SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder
from sitegen.workers import run_bounded

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
    one = OneOfEach() if len(folders) > few else None
    known: dict[Path, VehicleFiles] = {}
    new: dict[Path, str] = {}
    for folder in folders:
        digest = digest_of_files(folder, folder / INSPECTION, settings, standards)
        found = recalled(folder, _shown_as(folder), digest, standards, memory) if memory is not None else None
        if found is None:
            new[folder] = digest
        else:
            known[folder] = _sharing(found, one)
    if workers is None or len(new) <= read_here:
        made = _read_all(new, settings, standards)
    else:
        made = _by_workers(new, settings, standards, workers)
    for found in made:
        if memory is not None:
            remember(found, standards.today, memory)
        known[found.folder] = _sharing(found, one)
    yield from (known[folder] for folder in folders)


def _sharing(found: VehicleFiles, one: OneOfEach | None) -> VehicleFiles:
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
    digests: Mapping[Path, str], settings: SiteSettings | None, standards: Standards
) -> Iterator[VehicleFiles]:
    for folder, digest in digests.items():
        yield read_anew(folder, _shown_as(folder), digest, settings, standards)


@dataclass(frozen=True)
class _Sent:
    """What came of a folder, as a worker sends it: the standards that its sheet was held against stay there."""

    found: VehicleFiles
    record: VehicleRecord | None
    """That of the sheet, where it is not the whole one."""
    photos: Mapping[str, bool]

    def with_standards(self, standards: Standards) -> VehicleFiles:
        record = self.found.record or self.record
        if record is None:
            return self.found
        folder = self.found.folder
        marks = marks_read_again(folder / INSPECTION, self.found.shown_as)
        return replace(self.found, sheet=Sheet(record, marks, folder.name, self.photos, standards))


def _sent(found: VehicleFiles) -> _Sent:
    sheet = found.sheet
    if sheet is None:
        return _Sent(found, None, {})
    return _Sent(replace(found, sheet=None), None if found.record else sheet.record, sheet.photos)


def _by_workers(
    digests: Mapping[Path, str], settings: SiteSettings | None, standards: Standards, workers: Executor
) -> Iterator[VehicleFiles]:
    def submit(executor: Executor, batch: Mapping[Path, str]) -> Future[list[_Sent]]:
        return executor.submit(_read_batch, batch, settings, standards.region, standards.today)

    folders = list(digests)
    batches = (folders[start : start + AT_ONCE] for start in range(0, len(folders), AT_ONCE))
    tasks = (({folder: digests[folder] for folder in batch}, MEGABYTES_OF_RECORDS) for batch in batches)
    for _, read in run_bounded(workers, submit, tasks):
        yield from (sent.with_standards(standards) for sent in read)


def _read_batch(
    digests: Mapping[Path, str], settings: SiteSettings | None, region: Region | None, today: date
) -> list[_Sent]:
    """Read some folders: what a worker does."""
    return [_sent(found) for found in _read_all(digests, settings, _standards(region, today))]


def standards_of(region: Region | None, today: date) -> Standards:
    """Return what sheets are checked against, in a region; None where the settings do not tell it."""
    content = content_folder()
    exemption = read_region(content, region).odometer_exemption if region is not None else None
    return Standards(today, region, read_vocabulary(content), read_plausible(content), exemption)


_standards = lru_cache(maxsize=1)(standards_of)
