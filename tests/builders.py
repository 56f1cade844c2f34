"""Valid records and stores for tests, complete in all that a test does not speak of.

`a_vehicle(odometer={"reading": "90,000 mi"})` is the base vehicle with that one figure changed. Changes are what an
inspection.yaml would hold; they are merged deep into the base, and a value of `...` takes its key out.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

import yaml
from PIL import Image

from sitegen.reading.reference.figures import read_region
from sitegen.reading.theme import read_theme_data
from sitegen.records.figures import RegionUnits
from sitegen.records.store import SiteSettings
from sitegen.records.theme import ThemeData
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.conversion import visit_of
from sitegen.records.visits.current import current_record
from sitegen.records.visits.visit import VISIT
from sitegen.shared_data import content_folder, theme_folders

Plain = dict[str, Any]


def a_vehicle(**changes: Any) -> VehicleRecord:
    """Return the record of the base vehicle with some changes."""
    return VehicleRecord.model_validate(an_inspection(**changes))


def looked_at_again(first: VehicleRecord, now: VehicleRecord) -> VehicleRecord:
    """Return the record of a vehicle after a visit that states all that a whole inspection `now` states."""
    visit = visit_of(now, first)
    return current_record(first, {visit.day.isoformat(): visit}).record


def visited(first: VehicleRecord, *visits: Mapping[str, Any]) -> VehicleRecord:
    """Return the record of a vehicle after visits, each with the values of its file."""
    read = [VISIT.model_validate_json(json.dumps(visit), strict=True) for visit in visits]
    return current_record(first, {f"{place:02}": visit for place, visit in enumerate(read)}).record


def an_inspection(**changes: Any) -> Plain:
    """Return what the base vehicle's inspection.yaml holds, with some changes."""
    return merged(BASE_INSPECTION, changes)


def some_settings(**changes: Any) -> SiteSettings:
    """Return the base store's settings with some changes."""
    return SiteSettings.model_validate(merged(BASE_SETTINGS, changes))


def some_theme() -> ThemeData:
    """Return the data of the theme that ships, as a store without files of its own has it."""
    data, problems = read_theme_data(theme_folders("daylight", Path("no store")))
    assert data is not None, problems
    return data


def merged(base: Mapping[str, Any], changes: Mapping[str, Any]) -> Plain:
    """Return `base` with `changes` merged in: mappings key by key, the rest as a whole; `...` takes a key out."""
    result = dict(base)
    for key, value in changes.items():
        if value is ...:
            result.pop(key, None)
        elif isinstance(value, Mapping) and isinstance(base.get(key), Mapping):
            result[key] = merged(base[key], value)
        else:
            result[key] = value
    return result


def write_store(
    folder: Path,
    vehicles: Iterable[Mapping[str, Any]] = ({},),
    settings: Mapping[str, Any] | None = None,
    prices: Mapping[str, Any] | None = None,
    pages: Mapping[str, str] | None = None,
    photo_size: tuple[int, int] = (640, 480),
) -> Path:
    """Write a store into `folder` and return it: one base vehicle unless told otherwise, with real JPEG photos.

    `vehicles`, `settings` and `prices` are changes to the base; `pages` are Markdown texts by their path in `pages/`.
    A photo is written for every file that an inspection names.
    """
    folder.mkdir(parents=True, exist_ok=True)
    _write_yaml(folder / "site.yaml", merged(BASE_SETTINGS, settings or {}))
    _write_yaml(folder / "services.yaml", merged(BASE_PRICES, prices or {}))
    for changes in vehicles:
        inspection = an_inspection(**changes)
        own_folder = folder / "vehicles" / inspection["stock"]
        _write_yaml(own_folder / "inspection.yaml", inspection)
        for name in photo_names(inspection):
            write_photo(own_folder / "photos" / name, photo_size)
    for path, text in (pages or {}).items():
        page = folder / "pages" / path
        page.parent.mkdir(parents=True, exist_ok=True)
        page.write_text(text, encoding="utf-8")
    return folder


def photo_names(inspection: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the names of the photos that an inspection mentions, each once."""
    mentions = [
        *inspection.get("photos", ()),
        *(photo for defect in inspection.get("defects", ()) for photo in defect.get("photos", ())),
    ]
    return tuple(dict.fromkeys(photo["file"] for photo in mentions))


def write_photo(path: Path, size: tuple[int, int] = (640, 480)) -> None:
    """Write a real JPEG: a slope of light in a color that its name decides, so no two are alike."""
    path.parent.mkdir(parents=True, exist_ok=True)
    color = tuple(sha256(path.name.encode()).digest()[:3])
    light = Image.linear_gradient("L").resize(size)
    picture = Image.composite(Image.new("RGB", size, color), Image.new("RGB", size, (20, 20, 20)), light)
    jpeg = io.BytesIO()
    picture.save(jpeg, "JPEG", quality=80)
    path.write_bytes(jpeg.getvalue())


def _write_yaml(path: Path, content: Mapping[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(yaml.safe_dump(dict(content), sort_keys=False, allow_unicode=True), encoding="utf-8")


def _a_tire(inner: str) -> Plain:
    return {
        "size": "235/60R18 103H",
        "kind": "all-season",
        "date_code": "2423",
        "tread": {"outer": "7/32 in", "center": "7/32 in", "inner": inner},
        "new_tread": "10/32 in",
        "fitted_at": "40,000 mi",
        "fitted_on": "2023-08-30",
        "pressure": "34 psi",
    }


def _a_disc_brake(pads: str, rotor: str, discard: str) -> Plain:
    return {
        "kind": "disc",
        "pads": {"inner": pads, "outer": pads},
        "new_pads": "11 mm",
        "rotor": rotor,
        "rotor_discard": discard,
        "fitted_at": "30,000 mi",
    }


# The VIN is on a manufacturer code that is assigned to nobody; position 10 is J and position 7 a letter: 2018.
BASE_INSPECTION: Plain = {
    "stock": "K900",
    "status": "for sale",
    "listed_on": "2026-10-06",
    "price": 13450,
    "vin": "00ZWA5H48JD000101",
    "vehicle": {
        "year": 2018,
        "make": "Brevik",
        "model": "Fjordline",
        "body": "suv",
        "drive": "awd",
        "fuel": "gasoline",
        "transmission": "automatic",
        "timing": "chain",
        "gross_weight_pounds": 5110,
    },
    "odometer": {"reading": "64,000 mi", "read_on": "2026-10-04", "statement": "actual"},
    "earlier_readings": [{"reading": "40,100 mi", "read_on": "2023-09-14", "source": "service bill"}],
    "title": {"brand": "none", "checked_on": "2026-10-01"},
    "recalls": {"checked_on": "2026-10-01", "open": []},
    "sale_terms": "as is",
    "inspection": {
        "done_on": "2026-10-04",
        "at": "64,000 mi",
        "gauges": {"tread": {"name": "plunger tread gauge", "reads_to": "1/32 in"}},
    },
    "tires": {
        "placard_size": "235/60R18 103H",
        "left_front": _a_tire("6/32 in"),
        "right_front": _a_tire("7/32 in"),
        "left_rear": _a_tire("7/32 in"),
        "right_rear": _a_tire("7/32 in"),
    },
    "brakes": {
        "left_front": _a_disc_brake("7 mm", "27.1 mm", "26.0 mm"),
        "right_front": _a_disc_brake("7 mm", "27.0 mm", "26.0 mm"),
        "left_rear": _a_disc_brake("6 mm", "11.2 mm", "10.0 mm"),
        "right_rear": _a_disc_brake("6 mm", "11.2 mm", "not marked"),
    },
    "brake_fluid": {"grade": "DOT 4", "moisture": "1 %", "tested_on": "2026-10-04"},
    "battery": {"tested": "540 CCA", "rated": "640 CCA", "fitted_on": "2023-03", "tested_on": "2026-10-04"},
    "services": [{"service": "engine_oil", "done_on": "2026-09-28", "at": "63,950 mi"}],
    "checks": {
        "headlights": "good",
        "tow_wiring": "not checked",
        "fog_lights": {"finding": "attention", "note": "The left lens is cracked.", "defect": "fog-light-lens"},
    },
    "work_done": [{"what": "Changed the engine oil.", "on": "2026-09-28", "renews": ["services.engine_oil"]}],
    "defects": [
        {
            "id": "fog-light-lens",
            "kind": "cracked lens",
            "where": {"station": "front", "part": "left fog light"},
            "size": "6 cm",
            "affects": "function",
            "words": "A stone has cracked the lens. The light works.",
            "photos": [
                {"file": "fog-light.jpg", "shows": "A cracked fog light.", "mark": {"x": 0.5, "y": 0.5, "r": 0.2}}
            ],
        }
    ],
    "photos": [{"file": "front.jpg", "shows": "The front of the vehicle."}],
}

BASE_SETTINGS: Plain = {
    "format": 2,
    "name": "Ferrow Lane Used Vehicles",
    "address": ["14 Ferrow Lane", "Quillmarsh"],
    "phone": "+1 202 555 0142",
    "base_address": "https://www.ferrow-lane.example/vehicles-for-sale/",
    "currency": "USD",
    "languages": ["en"],
    "time_zone": "America/Chicago",
    "region": "us",
    "demo": True,
}

BASE_PRICES: Plain = {"prices": {"engine_oil": "65-95", "tire": "120-230", "front_pads": "170-260"}}


def units_of(region: str) -> RegionUnits:
    """Return the units that the pages of a region show."""
    return read_region(content_folder(), region).units


A_SECOND_VEHICLE: Plain = {
    "stock": "K901",
    "vin": "00ZWA5H4XJD000102",
    "earlier_readings": [{"reading": "39,800 mi", "read_on": "2023-08-02", "source": "service bill"}],
    "services": [{"service": "engine_oil", "done_on": "2026-09-27", "at": "63,900 mi"}],
    "work_done": [{"what": "Changed the oil and its filter.", "on": "2026-09-27", "renews": ["services.engine_oil"]}],
    "tires": {"left_front": {"date_code": "2323"}},
}
"""What K901 has of its own, where it is else the base vehicle: no two vehicles share these."""


def unmarked(page: str) -> str:
    """Return a page whose explained words are words like any other, so that sentences can be looked for."""
    page = re.sub(r'<button type="button" class="explained"[^>]*>([^<]*)</button>', r"\1", page)
    return re.sub(r'<span class="explained-held">([^<]*)</span>', r"\1", page)
