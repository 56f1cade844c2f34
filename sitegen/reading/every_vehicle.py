"""Read all vehicles' folders in order. Only changed ones are read, by workers if there are many."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from functools import partial
from pathlib import Path

from sitegen.engine.engine import Engine
from sitegen.engine.mapping import HERE, Executors, map_task
from sitegen.reading.checks.sheet import Standards
from sitegen.reading.intern_pool import InternPool
from sitegen.reading.reference.figures import read_region
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.reading.vehicle_files import INSPECTION, VehicleFiles, read_vehicle
from sitegen.reading.vehicle_task import vehicle_files, vehicle_result
from sitegen.records.problems import unexpected_problem
from sitegen.records.store import Region, SiteSettings
from sitegen.shared_data import content_folder

MANY = 500
"""More records than this share equal values, to save memory."""


def read_vehicles(
    folders: Sequence[Path],
    settings: SiteSettings | None,
    standards: Standards,
    engine: Engine | None = None,
    executors: Executors = HERE,
) -> Iterator[VehicleFiles]:
    """Yield the result of reading each folder, in order. With an `engine`, vehicles that did not change are not read.

    Any exception becomes a problem of the vehicle, so that one vehicle never ends a command.
    """
    pool = InternPool() if len(folders) > MANY else None
    read = partial(_read_guarded, settings=settings, standards=standards)
    if engine is None:
        yield from map(read, folders)
        return
    valid = set(map_task(engine, vehicle_result, [folder.name for folder in folders], executors, lambda *_: None))
    for folder in folders:
        found = None
        if folder.name in valid:
            result = engine.result(vehicle_result, folder.name)
            found = vehicle_files(result, folder, standards)
        found = found or read(folder)
        if pool is not None:
            for record in (found.record, found.sheet.record if found.sheet is not None else None):
                if record is not None:
                    pool.share(record)
        yield found


def _read_guarded(folder: Path, settings: SiteSettings | None, standards: Standards) -> VehicleFiles:
    shown_as = f"vehicles/{folder.name}/{INSPECTION}"
    try:
        return read_vehicle(folder, shown_as, settings, standards)
    except Exception as fault:
        return VehicleFiles(folder, shown_as, None, None, (), (unexpected_problem(shown_as, fault),))


def standards_of(region: Region | None, today: date) -> Standards:
    """Return the standards for a region's sheets. `region` is None if the settings name no valid region."""
    content = content_folder()
    exemption = read_region(content, region).odometer_exemption if region is not None else None
    return Standards(today, region, read_vocabulary(content), read_plausible(content), exemption)
