"""Add vehicles to a store, or a later inspection or visit to a vehicle that it has.

New vehicles are built and checked in a temporary folder and moved in whole. If one of several arrivals has an error,
none is added.
"""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from sitegen.disk import one_at_a_time
from sitegen.intake.arrival import Arrival, ArrivalError, year_of
from sitegen.intake.arrival_check import find_errors
from sitegen.intake.duplicates import ExistingVehicles
from sitegen.intake.first_record import first_record
from sitegen.intake.later_look import Given, LaterLook, not_permitted, take_in_inspection, take_in_visit, visit_in
from sitegen.intake.zips.photo_copies import copy_photos, photos_in
from sitegen.intake.zips.unpacking import printable, unpack
from sitegen.intake.zips.zip_layouts import PHOTOS, photo_places, vehicle_places
from sitegen.photos.opening.limits import photo_limits
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.reading.store import read_vehicle_alone
from sitegen.reading.validation.record_files import read_file, read_record
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.figures import TreadUnit
from sitegen.records.problems import Problem
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import FIRST_LOOK
from sitegen.records.visits.permissions import Change
from sitegen.shared_data import content_folder

Errors = tuple[Problem | str, ...]
"""Errors: problems with a place in a file, or plain texts."""


def take_in(store: Path, arrivals: Sequence[tuple[str, Arrival]], today: date, keep: bool = True) -> Errors:
    """Add a folder for each arrival, or none if there is any error. Return all errors.

    Each arrival comes with a prefix for its messages ("line 3: ") or an empty text. Without `keep` nothing is added.
    """
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return tuple(problems)
    errors: list[Problem | str] = []
    vehicles = store / "vehicles"
    vehicles.mkdir(exist_ok=True)
    with one_at_a_time(vehicles), _waiting_room(vehicles) as waiting_room:
        trials = waiting_room / "trials"
        trials.mkdir()
        folders: list[Path] = []
        existing = ExistingVehicles(vehicles, {arrival.vin for _, arrival in arrivals})
        for place, (prefix, arrival) in enumerate(arrivals):
            errors_of_arrival = [
                *find_errors(arrival, settings, trials, today),
                *filter(None, _conflicts(existing, arrival)),
            ]
            existing.add(arrival.stock, arrival.vin)
            folder = waiting_room / str(place) / arrival.stock
            with tempfile.TemporaryDirectory(dir=waiting_room) as room:
                try:
                    photos = _photos_of(arrival.photos, Path(room) / PHOTOS)
                except ArrivalError as error:
                    errors_of_arrival.append(str(error))
                else:
                    if keep and not errors_of_arrival and not errors:
                        _create_folder(folder, arrival, photos, settings)
                        folders.append(folder)
            errors += [f"{prefix}{error}" for error in errors_of_arrival]
        if keep and not errors:
            _move_in(folders, vehicles)
    return tuple(errors)


def _conflicts(existing: ExistingVehicles, arrival: Arrival) -> tuple[str | None, str | None]:
    return existing.stock_conflict(arrival.stock), existing.vin_conflict(arrival.vin)


def take_in_zip(
    store: Path, file: Path, today: date, may_change: Collection[Change] | None = None, digest: str = ""
) -> tuple[str | None, Errors, LaterLook | None]:
    """Add the vehicle in a zip from the bay page, or a visit to a vehicle that the store has.

    A zip that makes another kind of change than those in `may_change` is refused; None permits every change. `digest`
    is the SHA-256 of the zip, in hexadecimal. It is written into the visit's first line, so that the same zip is not
    taken in twice.

    Return its stock number (None if it was not added), all problems, and the result of a visit (None for a new
    vehicle).
    """
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return None, tuple(problems), None
    vehicles, called = store / "vehicles", printable(file.name)
    vehicles.mkdir(exist_ok=True)
    with one_at_a_time(vehicles), _waiting_room(vehicles) as waiting_room:
        unpacked, room = waiting_room / "unpacked", waiting_room / "trial"
        room.mkdir()
        faults = unpack(file, unpacked, vehicle_places)
        if faults:
            return None, tuple(f"{called}: {fault}" for fault in faults), None
        given = Given(unpacked, room, called, digest, may_change)
        visit = visit_in(unpacked)
        if visit is not None:
            return _take_in_visit(vehicles, visit, given, settings, today)
        shown_as = f"{called}/{INSPECTION}"
        first_look = read_file(VehicleRecord, unpacked / INSPECTION, shown_as)
        if first_look.sound_part is None:
            return None, (*first_look.problems, *_unfit_photos(unpacked, called)), None
        stock = first_look.sound_part.stock
        if (vehicles / stock / INSPECTION).is_file():
            if _is_there(vehicles / stock, unpacked):
                return stock, (), LaterLook((), FIRST_LOOK, is_new=False)
            unfit = tuple(_unfit_photos(unpacked, called))
            if unfit:
                return None, (*first_look.problems, *unfit), None
            result = take_in_inspection(vehicles / stock, given, settings, today)
            return stock if result.visit is not None else None, result.wrong, result
        return _take_in_vehicle(vehicles, first_look.sound_part, given, settings, today)


def _take_in_vehicle(
    vehicles: Path, found: VehicleRecord, given: Given, settings: SiteSettings, today: date
) -> tuple[str | None, Errors, LaterLook | None]:
    """Take in an unpacked vehicle that the store does not have. `found` is the valid part of its record."""
    stock = found.stock
    folder = given.unpacked.parent / f"{stock}.whole" / stock
    folder.parent.mkdir()
    given.unpacked.rename(folder)
    record, problems_of_record = read_vehicle_alone(folder, f"{given.called}/{INSPECTION}", settings, today)
    wrong: list[Problem | str] = [*problems_of_record, *_unfit_photos(folder, given.called)]
    existing = ExistingVehicles(vehicles, {found.vin})
    conflicts = filter(None, (existing.stock_conflict(stock), existing.vin_conflict(found.vin)))
    wrong += [f"{given.called}: {twin}" for twin in conflicts]
    wrong += not_permitted(found, given, is_first=True)
    if record is None or len(wrong) > len(problems_of_record):
        return None, tuple(wrong), None
    _move_in([folder], vehicles)
    return stock, tuple(wrong), None


def _is_there(vehicle: Path, unpacked: Path) -> bool:
    """Return whether a vehicle's first inspection is the unpacked one, byte for byte."""
    return (vehicle / INSPECTION).read_bytes() == (unpacked / INSPECTION).read_bytes()


def _take_in_visit(
    vehicles: Path, visit: Path, given: Given, settings: SiteSettings, today: date
) -> tuple[str | None, Errors, LaterLook | None]:
    """Take in an unpacked visit. The folder above it is named by the vehicle's stock number."""
    stock = visit.parent.parent.name
    if not (vehicles / stock / INSPECTION).is_file():
        called = given.called
        return None, (f"{called}: the store has no vehicle {stock}: take in its first inspection before",), None
    unfit = tuple(_unfit_photos(visit.parent.parent, given.called))
    if unfit:
        return None, unfit, None
    result = take_in_visit(vehicles / stock, visit, given, settings, today)
    return stock if result.visit is not None else None, result.wrong, result


@contextmanager
def _waiting_room(vehicles: Path) -> Iterator[Path]:
    """Create a temporary folder inside `vehicles`, on the same disk. Readers ignore it because of its leading dot.

    Folders that killed processes left more than a day ago are removed.
    """
    vehicles.mkdir(exist_ok=True)
    for left in vehicles.glob(".coming-in-*"):
        if time.time() - left.stat().st_mtime > 24 * 60 * 60:
            shutil.rmtree(left, ignore_errors=True)
    with tempfile.TemporaryDirectory(dir=vehicles, prefix=".coming-in-") as room:
        yield Path(room)


def _move_in(folders: Sequence[Path], vehicles: Path) -> None:
    """Move complete folders into the store, each in one step. Raises OSError if a folder exists already."""
    for folder in folders:
        folder.rename(vehicles / folder.name)


def _unfit_photos(folder: Path, called: str) -> Iterator[Problem]:
    """Yield a problem for each photo that cannot be shown on a page."""
    for photo in sorted((folder / PHOTOS).glob("*")):
        judged = judge_photo(photo.read_bytes(), photo.name, photo_limits().refuse)
        if isinstance(judged, Fault):
            yield Problem(f"{called}/{PHOTOS}/{photo.name}", 0, 0, "", judged.found, judged.expected, judged.mend)


def _create_folder(folder: Path, arrival: Arrival, photos: Path | None, settings: SiteSettings) -> None:
    """Create the folder of a vehicle whose arrival has no errors."""
    content, year = content_folder(), year_of(arrival)
    if year is None:
        raise ValueError("the model year was tried, and is known")
    in_thirty_seconds = read_figures(content, settings.region.value).region.units.tread is not TreadUnit.MILLIMETRES
    folder.mkdir(parents=True)
    names = [] if photos is None else copy_photos(photos_in(photos), folder / PHOTOS)
    points = read_vocabulary(content).check_points
    text = first_record(arrival, year, points, names, "7/32 in" if in_thirty_seconds else "5.6 mm")
    (folder / INSPECTION).write_text(text, "utf-8", newline="\n")


def _photos_of(photos: str, room: Path) -> Path | None:
    """Return the named folder of photos, or None if `photos` is empty. A zip is unpacked into `room` first.

    Raises ArrivalError if there is no such folder, or the zip cannot be used.
    """
    if not photos or Path(photos).is_dir():
        return Path(photos) if photos else None
    if not photos.lower().endswith(".zip"):
        raise ArrivalError(f"there is no folder {photos}")
    faults = unpack(Path(photos), room, photo_places)
    if faults:
        raise ArrivalError("; ".join(f"{printable(photos)}: {fault}" for fault in faults))
    return room
