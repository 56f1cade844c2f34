"""`sitegen bay`: write the bay page, on which staff record a vehicle or a visit to it with a phone.

It is never part of the public site.
"""

from __future__ import annotations

import argparse
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from sitegen.commands.shared.composition import BuildRequest, opened_engine
from sitegen.commands.shared.desk import put_on_desk
from sitegen.commands.shared.store_day import today_of_store
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.bay.bay_pages import KNOWN, SEEN, VehicleInStore, bay_pages
from sitegen.pages.bay.labels import missing_labels
from sitegen.pages.bay.vocabulary import Shop
from sitegen.pages.composing import translator_for
from sitegen.photos.deriving.thumbnail import thumbnail
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.disclosure import Photo
from sitegen.records.problems import Problem
from sitegen.records.store import Store, StoredVehicle
from sitegen.records.vehicle import Status
from sitegen.shared_data import content_folder, theme_folders

_OF_VEHICLE, _OF_DEFECT = 160, 240
"""The longer side of a small picture, in pixels: 80 and 120 on a screen of double density."""


def bay(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the bay page in the store's languages, units and theme, with what the store knows of its vehicles.

    If the settings or the theme have an error, write nothing. A vehicle with an error in its files is left out.
    """
    folder: Path = arguments.store
    request = BuildRequest(folder)
    with opened_engine(request, terminal) as engine:
        today = today_of_store(folder, request.moment)
        store, found = read_store(folder, today, leave_out_faulty=True, engine=engine)
        engine.settle()
    problems = [problem for problem in found if problem.file == "site.yaml" or "themes/" in problem.file]
    if store is None:
        terminal.tell(found)
        return 1
    themes = theme_folders(store.settings.theme, folder)
    figures = read_figures(content_folder(), store.settings.region.value)
    translators = [translator_for(language, store.settings, figures) for language in store.settings.languages]
    unnamed = [problem for translator in translators for problem in missing_labels(themes, translator.catalog)]
    if unnamed:
        terminal.tell([*problems, *unnamed])
        return 1
    vehicles = list(_in_store(store))
    places = [place.name for place in store.settings.locations]
    files = bay_pages(themes, Shop(figures, store.theme.bodies, translators, places), vehicles)
    target = put_on_desk(folder, "bay", arguments.to, files)
    _delete_others(target, files)
    terminal.tell(problems)
    for stock in _left_out(found, store):
        terminal.say_wrong(
            f"{stock} is not on the bay page, because its files have errors: run sitegen check {folder}"
        )
    counted = f"{len(translators)} languages, {len(vehicles)} vehicles"
    terminal.say(f"The bay page: {target / 'index.html'}   ({counted}; open it, or serve the folder)")
    return 0


def _in_store(store: Store) -> Iterator[VehicleInStore]:
    """Yield the vehicles that are not sold, with small pictures of them and of their defects."""
    for vehicle in store.vehicles:
        record = vehicle.record
        if record.status is not Status.SOLD:
            pictures = {defect.id: _small(vehicle, defect.photos, _OF_DEFECT) for defect in record.defects}
            seen = {name: picture for name, picture in pictures.items() if picture is not None}
            yield VehicleInStore(record, _small(vehicle, record.photos, _OF_VEHICLE), seen)


def _small(vehicle: StoredVehicle, photos: Sequence[Photo], longer_side: int) -> bytes | None:
    """Return a small picture of the first of some photos, or None if there is none or it cannot be read."""
    if not photos:
        return None
    try:
        content = (vehicle.folder / "photos" / photos[0].file).read_bytes()
    except OSError:
        return None
    return thumbnail(content, photos[0].file, photos[0].cover, longer_side)


def _delete_others(folder: Path, files: Collection[str]) -> None:
    """Delete what an earlier bay page knew of vehicles that this one does not have."""
    for pattern in (f"{KNOWN}*.js", f"{SEEN}*.jpg"):
        for path in folder.glob(pattern):
            if path.name not in files:
                path.unlink()


def _left_out(found: Collection[Problem], store: Store) -> list[str]:
    stocks = {vehicle.folder.name for vehicle in store.vehicles}
    named = {problem.file.split("/")[1] for problem in found if problem.file.startswith("vehicles/")}
    return sorted(named - stocks)
