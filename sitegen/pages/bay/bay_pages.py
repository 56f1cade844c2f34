"""Build the files of the bay page: a page for each language, scripts, a style sheet, and a service worker.

The files request nothing from the site or any other host. They work both when a web server delivers them and when
they are opened from a folder.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sitegen.pages.bay.known import known_vehicle
from sitegen.pages.bay.vocabulary import Shop, bay_vocabulary, offered_by, view_box
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.frame.theme import Renderer, style_sheet, theme_environment
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import own_name
from sitegen.records.theme import drawing_file
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import ThemeFolders

_COPIED = ("bay/*.js", "bay/*/*.js", "bay/vendor/*.txt", "fonts/*", "icons/icon.svg")
KNOWN, SEEN = "known-", "seen-"
"""The beginnings of the names of the files about the store's vehicles."""
_STYLES = ("styles/1-tokens.css", "styles/2-base.css", "bay/bay.css", "components/body-plan/body-plan.css")


@dataclass(frozen=True)
class Drawing:
    """The drawing of a body: its name in records, its template, and the SVG view box."""

    body: str
    template: str
    view_box: str


@dataclass(frozen=True)
class OtherPage:
    """A link to the bay page in another language."""

    address: str
    language: str
    name: str


@dataclass(frozen=True)
class VehicleInStore:
    """A vehicle that the store has, and a small picture of it."""

    record: VehicleRecord
    picture: bytes | None = None
    defects: Mapping[str, bytes] = field(default_factory=dict)
    """A small picture of each defect, by its id."""


def known_files(vehicles: Iterable[VehicleInStore], shop: Shop) -> dict[str, bytes]:
    """Return the files about the store's vehicles: for each a script with its known values, and its pictures.

    A page opened from a disk may load a script, but no other kind of data.
    """
    files: dict[str, bytes] = {}
    offered = offered_by(shop)
    for vehicle in vehicles:
        stock = vehicle.record.stock
        known = known_vehicle(vehicle.record, offered)
        known["pictures"] = sorted(vehicle.defects)
        files[f"{KNOWN}{stock}.js"] = f"bay.known.take({json.dumps(stock)}, {script_json(known)});\n".encode()
        if vehicle.picture is not None:
            files[f"{SEEN}{stock}.jpg"] = vehicle.picture
        files |= {f"{SEEN}{stock}.{name}.jpg": picture for name, picture in vehicle.defects.items()}
    return files


def bay_pages(folders: ThemeFolders, shop: Shop, vehicles: Sequence[VehicleInStore] = ()) -> dict[str, bytes]:
    """Return every file by its name in the folder. `index.html` is in the store's first language."""
    files = {"bay.css": style_sheet(folders, _STYLES), **known_files(vehicles, shop)}
    listed = [_listed(vehicle) for vehicle in vehicles]
    for pattern in _COPIED:
        files |= {path.rpartition("/")[2]: file.read_bytes() for path, file in folders.files(pattern).items()}
    environment = theme_environment(folders)
    addresses = {each.language: _address(place, each.catalog) for place, each in enumerate(shop.translators)}
    for translator in shop.translators:
        catalog = translator.catalog
        others = tuple(
            OtherPage(address, tag, own_name(tag)) for tag, address in addresses.items() if tag != catalog.language
        )
        spoken = environment.overlay()
        spoken.globals = {**environment.globals, "say": catalog.say, "language": catalog.language}
        files[addresses[catalog.language]] = Renderer(spoken, catalog).page(
            "bay/bay.html",
            vocabulary=script_json({**bay_vocabulary(shop, translator), "vehicles": listed}),
            drawings=tuple(
                Drawing(body, drawing_file(body), " ".join(map(str, view_box(places))))
                for body, places in shop.bodies.items()
            ),
            others=others,
        )
    return {**files, "keeper.js": _keeper(files)}


def _listed(vehicle: VehicleInStore) -> dict[str, str | None]:
    record = vehicle.record
    return {
        "stock": record.stock,
        "name": " ".join(filter(None, (str(record.vehicle.year), record.vehicle.make, record.vehicle.model))),
        "status": record.status.value,
        "day": record.inspection.done_on.isoformat(),
        "picture": f"{SEEN}{record.stock}.jpg" if vehicle.picture is not None else None,
    }


def _address(place: int, catalog: Catalog) -> str:
    return "index.html" if place == 0 else f"{catalog.language}.html"


def _keeper(files: Mapping[str, bytes]) -> bytes:
    """Return the service worker with all file names and their digest, so that it updates when a file changes."""
    together = hashlib.sha256()
    for name in sorted(files):
        together.update(f"{name}\0{len(files[name])}\0".encode() + files[name])
    names = ["./", *sorted(name for name in files if name != "keeper.js")]
    cache = json.dumps({"name": f"bay-{together.hexdigest()[:10]}", "files": names})
    return f"self.bayCache = {cache};\n".encode() + files["keeper.js"]
