"""Convert a store of format 1 to format 2: whole later inspections become visits.

Of each vehicle, the earliest file in `inspections/` becomes `inspection.yaml`, and each later inspection becomes a
visit. The settings get `format: 2` last. After an interruption, the next call continues.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sitegen import disk
from sitegen.intake.editing import with_keys
from sitegen.intake.visit_files import visit_text
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.reading.visits import VISITS
from sitegen.records.problems import Problem
from sitegen.records.store import FORMAT
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.conversion import as_plain, converted

INSPECTIONS = "inspections"
"""The folder of earlier inspections in format 1."""
_SET_ASIDE = ".inspections"
"""Its name while a vehicle is being converted. Reading ignores it."""


@dataclass(frozen=True)
class Converted:
    """One vehicle that was converted, and its new visits by file name."""

    stock: str
    visits: tuple[str, ...]


def convert(store: Path) -> tuple[tuple[Converted, ...], tuple[Problem, ...]]:
    """Convert every vehicle of a store, or none if a file has an error. Return what was done, and the problems."""
    with disk.one_at_a_time(store / "vehicles"):
        plans, problems = [], []
        for vehicle in sorted((store / "vehicles").glob(f"*/{INSPECTION}")):
            plan = _plan(vehicle.parent)
            if isinstance(plan, _Plan):
                plans.append(plan)
            problems += plan if isinstance(plan, list) else []
        if problems:
            return (), tuple(sorted(problems))
        done = tuple(plan.carry_out() for plan in plans)
        settings = store / "site.yaml"
        text = with_keys(settings.read_text("utf-8"), {"format": str(FORMAT)}, ("currency", "name"))
        disk.write_whole(settings, text.encode("utf-8"), lasting=True)
        return done, ()


@dataclass(frozen=True)
class _Plan:
    """The files to write and to set aside for one vehicle."""

    vehicle: Path
    first: str
    visits: dict[str, str]

    def carry_out(self) -> Converted:
        """Write the visits, set the old inspections aside in one step, then write the first inspection."""
        (self.vehicle / VISITS).mkdir(exist_ok=True)
        for name, text in self.visits.items():
            disk.write_whole(self.vehicle / VISITS / f"{name}.yaml", text.encode("utf-8"), lasting=True)
        disk.write_whole(self.vehicle / f"{INSPECTIONS}.first", self.first.encode("utf-8"), lasting=True)
        (self.vehicle / INSPECTIONS).rename(self.vehicle / _SET_ASIDE)
        _finish(self.vehicle)
        return Converted(self.vehicle.name, tuple(self.visits))


def _plan(vehicle: Path) -> _Plan | list[Problem] | None:
    """Return the plan of a vehicle's conversion, or its problems. None if it has no earlier inspections.

    A conversion that was interrupted is completed first.
    """
    if (vehicle / _SET_ASIDE).is_dir():
        _finish(vehicle)
    newest = vehicle / INSPECTION
    files = [file for file in _earlier(vehicle) if file.read_bytes() != newest.read_bytes()]
    if not files:
        return None
    shown_in = f"vehicles/{vehicle.name}"
    readings = [
        read_file(VehicleRecord, file, f"{shown_in}/{file.relative_to(vehicle).as_posix()}")
        for file in (*files, newest)
    ]
    if problems := [problem for reading in readings for problem in reading.problems]:
        return problems
    records = [reading.record for reading in readings if reading.record is not None]
    first, visits = converted(records[-1], records[:-1])
    texts = {record.inspection.done_on: file for file, record in zip((*files, newest), records, strict=True)}
    text = texts[first.inspection.done_on].read_text("utf-8")
    return _Plan(
        vehicle,
        with_keys(text, {"stock": first.stock}),
        {name: visit_text(as_plain(visit)) for name, visit in visits.items()},
    )


def _finish(vehicle: Path) -> None:
    """Put the first inspection in its place, and remove what was set aside."""
    first = vehicle / f"{INSPECTIONS}.first"
    if first.is_file():
        first.replace(vehicle / INSPECTION)
    shutil.rmtree(vehicle / _SET_ASIDE)


def _earlier(vehicle: Path) -> Iterator[Path]:
    for file in sorted((vehicle / INSPECTIONS).glob("*.yaml")):
        if file.is_file() and not file.name.startswith("."):
            yield file
