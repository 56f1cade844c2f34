"""Vehicles into a store: each folder is made under a name of its own, read, and put in whole or not.

Nothing is half made: where one of several cannot be taken in, none is.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from sitegen.intake.arrival import Arrival, ArrivalError
from sitegen.intake.first_record import first_record
from sitegen.intake.photo_copies import copy_photos, photos_in
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.reading.store import INSPECTION, read_vehicle_alone
from sitegen.reading.validation.record_files import read_record
from sitegen.records.figures import TreadUnit
from sitegen.records.problems import Problem
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder


def take_in(store: Path, arrivals: Sequence[tuple[str, Arrival]], today: date) -> tuple[Problem | str, ...]:
    """Make a folder for each arrival, or none if there is any problem; return all problems.

    Each arrival comes with how messages call it (line 3), or with nothing.
    """
    settings, _, problems = read_record(SiteSettings, store / "site.yaml", "site.yaml")
    if settings is None:
        return tuple(problems)
    faults: list[Problem | str] = []
    vehicles = store / "vehicles"
    vehicles.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(dir=vehicles, prefix=".coming-in-") as waiting_room:
        made: list[Path] = []
        for called, arrival in arrivals:
            folder = Path(waiting_room) / arrival.stock
            try:
                if (vehicles / arrival.stock).exists() or folder.exists():
                    raise ArrivalError(f"there is a vehicle {arrival.stock} already")
                _make(folder, arrival, settings)
            except ArrivalError as fault:
                faults.append(f"{called}{fault}")
                continue
            faults += read_vehicle_alone(folder, settings, today)
            made.append(folder)
        if not faults:
            for folder in made:
                shutil.move(folder, vehicles / folder.name)
    return tuple(faults)


def _make(folder: Path, arrival: Arrival, settings: SiteSettings) -> None:
    content = content_folder()
    in_thirty_seconds = read_figures(content, settings.region.value).region.units.tread is not TreadUnit.MILLIMETRES
    photos = Path(arrival.photos) if arrival.photos else None
    if photos is not None and not photos.is_dir():
        raise ArrivalError(f"there is no folder {arrival.photos}")
    folder.mkdir()
    names = copy_photos(photos_in(photos), folder / "photos") if photos is not None else []
    points = read_vocabulary(content).check_points
    text = first_record(arrival, points, names, "7/32 in" if in_thirty_seconds else "5.6 mm")
    (folder / INSPECTION).write_text(text, "utf-8", newline="\n")
