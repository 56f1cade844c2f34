"""Take in a later inspection of a vehicle: the old record becomes an earlier inspection, the new the record.

All is tried in a temporary folder first. The files are then written in an order in which a crash leaves either the
old record or the new: photos, then a copy of the old record in `inspections/`, then the new record in one step.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sitegen import disk
from sitegen.intake.joining.in_place import JoiningError
from sitegen.intake.joining.joining import Inspected, Joined, joined, photo_names
from sitegen.intake.joining.same_flaws import flaws
from sitegen.intake.zip_layouts import PHOTOS
from sitegen.reading.earlier_inspections import INSPECTIONS, read_earlier
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.problems import Problem
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class LookedAgain:
    """The result of taking in a later inspection."""

    wrong: tuple[Problem | str, ...]
    """All problems, warnings included."""
    taken_in: bool
    joined: Joined | None = None
    """How it was merged with the old record, if it was taken in."""


def look_again(
    vehicle: Path, unpacked: Path, room: Path, called: str, settings: SiteSettings, today: date
) -> LookedAgain:
    """Make the unpacked inspection a vehicle's newest one. After an error, the folder is unchanged.

    `room` is an empty folder on the same disk, and `called` names the zip in messages. The caller holds the lock.
    """
    shown_as = f"{called}/{INSPECTION}"
    old = read_file(VehicleRecord, vehicle / INSPECTION, f"vehicles/{vehicle.name}/{INSPECTION}")
    new = read_file(VehicleRecord, unpacked / INSPECTION, shown_as)
    if old.record is None or new.record is None:
        return LookedAgain((*old.problems, *new.problems), taken_in=False)
    fault = _fault(old.record, new.record)
    if fault:
        return LookedAgain((f"{called}: {fault}",), taken_in=False)
    day = old.record.inspection.done_on.isoformat()
    shown_in = f"vehicles/{vehicle.name}"
    before = [file.reading.sound_part for file in read_earlier(vehicle, vehicle / INSPECTION, shown_in)]
    noted = flaws(new.record, old.record.after(one for one in before if one is not None))
    names = dict(_names(vehicle / PHOTOS, unpacked / PHOTOS, photo_names(noted), new.record.inspection.done_on))
    try:
        texts = [(folder / INSPECTION).read_text("utf-8") for folder in (unpacked, vehicle)]
        now, then = Inspected(texts[0], new.record), Inspected(texts[1], old.record)
        found = joined(now, then, noted, names, settings.languages)
    except JoiningError as error:
        return LookedAgain((f"{called}: {error}",), taken_in=False)
    trial = room / vehicle.name
    shutil.copytree(vehicle, trial, copy_function=_linked)
    (trial / INSPECTIONS).mkdir(exist_ok=True)
    earlier = trial / INSPECTIONS / f"{day}.yaml"
    if earlier.exists() and earlier.read_bytes() != (vehicle / INSPECTION).read_bytes():
        return LookedAgain((f"{called}: there is another {INSPECTIONS}/{earlier.name} already",), taken_in=False)
    earlier.unlink(missing_ok=True)
    (trial / INSPECTION).rename(earlier)
    (trial / INSPECTION).write_text(found.text, "utf-8", newline="\n")
    (trial / PHOTOS).mkdir(exist_ok=True)
    fresh = [(photo, trial / PHOTOS / names[photo.name]) for photo in _files(unpacked / PHOTOS)]
    added = [target for photo, target in fresh if not target.exists()]
    for photo, target in fresh:
        if target in added:
            shutil.copyfile(photo, target)
    record, told = read_vehicle_alone(trial, shown_as, settings, today)
    if record is None:
        return LookedAgain(told, taken_in=False)
    _put_in(vehicle, trial, added, day)
    return LookedAgain(told, taken_in=True, joined=found)


def _fault(old: VehicleRecord, new: VehicleRecord) -> str | None:
    if old.vin != new.vin:
        return f"its VIN {new.vin} is not that of {old.stock}, {old.vin}; nothing of it was changed"
    days = old.inspection.done_on, new.inspection.done_on
    if days[1] <= days[0]:
        return (
            f"its inspection of {days[1]} is not later than that of {days[0]}, which {old.stock} has already; "
            "nothing of it was changed"
        )
    return None


def _names(known: Path, fresh: Path, wished: Mapping[str, str], day: date) -> Iterator[tuple[str, str]]:
    """Yield the final name of each photo: the `wished` or its own, with the day prefixed if that is taken."""
    taken = {file.name.casefold(): file for file in _files(known)}
    for photo in _files(fresh):
        name = wished.get(photo.name, photo.name)
        while name.casefold() in taken and taken[name.casefold()].read_bytes() != photo.read_bytes():
            name = f"{day}-{name}"
        same = taken.setdefault(name.casefold(), photo)
        yield photo.name, name if same is photo else same.name


def _files(folder: Path) -> list[Path]:
    return sorted(file for file in folder.glob("*") if file.is_file())


def _linked(source: str, target: str) -> None:
    """Hard-link a file, or copy it where the file system has no hard links. Nothing writes to it afterwards."""
    try:
        os.link(source, target)
    except OSError:
        shutil.copy2(source, target)


def _put_in(vehicle: Path, trial: Path, added: list[Path], day: str) -> None:
    """Write a tried inspection into the vehicle's folder. Raises OSError, after removing what was written."""
    made: list[Path] = []
    try:
        for photo in added:
            target = vehicle / PHOTOS / photo.name
            target.parent.mkdir(exist_ok=True)
            made.append(target)
            disk.write_whole(target, photo.read_bytes(), lasting=True)
        earlier = vehicle / INSPECTIONS / f"{day}.yaml"
        earlier.parent.mkdir(exist_ok=True)
        if not earlier.exists():
            made.append(earlier)
            disk.write_whole(earlier, (vehicle / INSPECTION).read_bytes(), lasting=True)
        disk.flush(vehicle)
        disk.write_whole(vehicle / INSPECTION, (trial / INSPECTION).read_bytes(), lasting=True)
    except OSError:
        for file in made:
            file.unlink(missing_ok=True)
        raise
