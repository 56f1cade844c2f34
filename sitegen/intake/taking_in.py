"""Vehicles into a store: each folder is made under a name of its own, read, and put in whole or not.

Nothing is half made: where one of several cannot be taken in, none is.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from sitegen.disk import one_at_a_time
from sitegen.intake.arrival import Arrival, ArrivalError, year_of
from sitegen.intake.first_record import first_record
from sitegen.intake.joining.joining import Joined
from sitegen.intake.looking_again import look_again
from sitegen.intake.photo_copies import copy_photos, photos_in
from sitegen.intake.trying import wrongs_of
from sitegen.intake.twins import Taken
from sitegen.intake.unpacking import plain, unpack
from sitegen.intake.zip_layouts import PHOTOS, photo_places, vehicle_places
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
from sitegen.shared_data import content_folder

Wrongs = tuple[Problem | str, ...]
"""What is wrong: a problem at its place, or words where there is none."""


def take_in(store: Path, arrivals: Sequence[tuple[str, Arrival]], today: date, keep: bool = True) -> Wrongs:
    """Make a folder for each arrival, or none if there is any problem; return all problems.

    Each arrival comes with how messages call it (line 3), or with nothing. Without `keep` they are only tried.
    """
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return tuple(problems)
    faults: list[Problem | str] = []
    vehicles = store / "vehicles"
    with _waiting_room(vehicles) as waiting_room:
        trials = waiting_room / "trials"
        trials.mkdir()
        made: list[Path] = []
        taken = Taken(vehicles, {arrival.vin for _, arrival in arrivals})
        for place, (called, arrival) in enumerate(arrivals):
            wrong = [*wrongs_of(arrival, settings, trials, today), *filter(None, _twins(taken, arrival))]
            taken.add(arrival.stock, arrival.vin)
            folder = waiting_room / str(place) / arrival.stock
            with tempfile.TemporaryDirectory(dir=waiting_room) as room:
                try:
                    photos = _photos_said(arrival.photos, Path(room) / PHOTOS)
                except ArrivalError as fault:
                    wrong.append(str(fault))
                else:
                    if keep and not wrong and not faults:
                        _make(folder, arrival, photos, settings)
                        made.append(folder)
            faults += [f"{called}{fault}" for fault in wrong]
        if keep and not faults:
            _put_in(made, vehicles)
    return tuple(faults)


def _twins(taken: Taken, arrival: Arrival) -> tuple[str | None, str | None]:
    return taken.twin_by_stock(arrival.stock), taken.twin_by_vin(arrival.vin)


def take_in_zip(store: Path, file: Path, today: date) -> tuple[str | None, Wrongs, Joined | None]:
    """Take in the vehicle that a zip of the bay page holds, if nothing is wrong with it.

    One that the store has, by stock number and VIN, was looked at again: see `looking_again`. Return its stock
    number, or None where it was not taken in; every problem, warnings too; and of a later inspection how it was
    joined with the record before.
    """
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return None, tuple(problems), None
    vehicles, called = store / "vehicles", plain(file.name)
    vehicles.mkdir(exist_ok=True)
    with one_at_a_time(vehicles), _waiting_room(vehicles) as waiting_room:
        unpacked = waiting_room / "unpacked"
        faults = unpack(file, unpacked, vehicle_places)
        if faults:
            return None, tuple(f"{called}: {fault}" for fault in faults), None
        shown_as = f"{called}/{INSPECTION}"
        first_look = read_file(VehicleRecord, unpacked / INSPECTION, shown_as)
        if first_look.sound_part is None:
            return None, (*first_look.problems, *_unfit_photos(unpacked, called)), None
        stock = first_look.sound_part.stock
        if (vehicles / stock / INSPECTION).is_file():
            unfit = tuple(_unfit_photos(unpacked, called))
            again = waiting_room / "again"
            again.mkdir()
            if unfit:
                return None, (*first_look.problems, *unfit), None
            found = look_again(vehicles / stock, unpacked, again, called, settings, today)
            return stock if found.taken_in else None, found.wrong, found.joined
        folder = waiting_room / f"{stock}.whole" / stock
        folder.parent.mkdir()
        unpacked.rename(folder)
        record, told = read_vehicle_alone(folder, shown_as, settings, today)
        wrong: list[Problem | str] = [*told, *_unfit_photos(folder, called)]
        vin = first_look.sound_part.vin
        taken = Taken(vehicles, {vin})
        twins = filter(None, (taken.twin_by_stock(stock), taken.twin_by_vin(vin)))
        wrong += [f"{called}: {twin}" for twin in twins]
        if record is None or len(wrong) > len(told):
            return None, tuple(wrong), None
        _put_in([folder], vehicles)
        return stock, tuple(wrong), None


@contextmanager
def _waiting_room(vehicles: Path) -> Iterator[Path]:
    """Give a folder beside the vehicles, on the same disk, that is gone at the end. No reader looks into it."""
    vehicles.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(dir=vehicles, prefix=".coming-in-") as room:
        yield Path(room)


def _put_in(made: Sequence[Path], vehicles: Path) -> None:
    """Move whole folders in, each in one step. Raises OSError where something is there already."""
    for folder in made:
        folder.rename(vehicles / folder.name)


def _unfit_photos(folder: Path, called: str) -> Iterator[Problem]:
    """Yield the photos of an unpacked vehicle that no page could show."""
    for photo in sorted((folder / PHOTOS).glob("*")):
        judged = judge_photo(photo.read_bytes(), photo.name)
        if isinstance(judged, Fault):
            yield Problem(f"{called}/{PHOTOS}/{photo.name}", 0, 0, "", judged.found, judged.expected, judged.mend)


def _make(folder: Path, arrival: Arrival, photos: Path | None, settings: SiteSettings) -> None:
    """Make the folder of a vehicle with which nothing is wrong."""
    content, year = content_folder(), year_of(arrival)
    if year is None:
        raise ValueError("the model year was tried, and is known")
    in_thirty_seconds = read_figures(content, settings.region.value).region.units.tread is not TreadUnit.MILLIMETRES
    folder.mkdir(parents=True)
    names = [] if photos is None else copy_photos(photos_in(photos), folder / PHOTOS)
    points = read_vocabulary(content).check_points
    text = first_record(arrival, year, points, names, "7/32 in" if in_thirty_seconds else "5.6 mm")
    (folder / INSPECTION).write_text(text, "utf-8", newline="\n")


def _photos_said(photos: str, room: Path) -> Path | None:
    """Return the folder of photos that was named; a zip is unpacked into `room` first. None if none was named."""
    if not photos or Path(photos).is_dir():
        return Path(photos) if photos else None
    if not photos.lower().endswith(".zip"):
        raise ArrivalError(f"there is no folder {photos}")
    faults = unpack(Path(photos), room, photo_places)
    if faults:
        raise ArrivalError("; ".join(f"{plain(photos)}: {fault}" for fault in faults))
    return room
