"""Build what the bay page knows of a vehicle that the store has: each value, with the day on which it was seen. Pure.

The names are those of the page's entries, so that a script can show a known value where an entry would be. Texts keep
all of their languages.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import CheckNote, CheckResult, Defect, LeftAsItIs, Promise
from sitegen.records.figures import RegionUnits
from sitegen.records.quantities import Depth, Quantity
from sitegen.records.vehicle import NoBrand, OdometerStatement, WarrantyTerms, Wheel, listed_terms
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Battery, DiscBrake, DrumBrake

Json = dict[str, Any]

_IDENTITY = (
    *("year", "make", "model", "trim", "body", "drive", "fuel", "transmission", "engine", "liters", "cylinders"),
    *("timing", "doors", "seats", "color", "interior"),
)

_PAINT = "µm"
"""The unit that the page shows first for paint."""


@dataclass(frozen=True)
class Offered:
    """The choices of the page: the marks of its rulers, and the names of panels and equipment."""

    units: RegionUnits
    tread: Mapping[Depth, str]
    lining: Mapping[Depth, str]
    panels: Mapping[str, frozenset[str]]
    """The names of each panel in all languages, in small letters, by its key."""
    equipment: Mapping[str, frozenset[str]]
    first_language: str


def known_vehicle(record: VehicleRecord, offered: Offered) -> Json:
    """Return what the page shows of a vehicle before anything is entered, as JSON values."""
    return {
        "values": {path: [value, record.look_at(of).on.isoformat()] for path, value, of in _values(record, offered)},
        "day": record.inspection.done_on.isoformat(),
        "status": record.status.value,
        "defects": [_defect(defect, record, offered) for defect in record.defects],
        "defect_ids": list(record.defects_ever()),
        "promises": [_promise(promise, offered) for promise in record.before_delivery],
        "noted": [key for key in ("work_done", "before_delivery", "additions", "defects") if record.states(key)],
        "services": [_service(service, offered) for service in record.services],
        "photos": [photo.file for photo in record.photos],
        "film": [] if record.film is None else record.film.model_dump(mode="json", exclude_unset=True)["clips"],
    }


def _values(record: VehicleRecord, offered: Offered) -> Iterator[tuple[str, Any, str]]:
    """Yield the name of each entry, its value, and the path of the value in the record."""
    for name, value, of in (
        *_identity(record),
        *_papers(record, offered),
        *_tires(record, offered),
        *_brakes(record, offered),
        *_fluids(record, offered),
        *_checks(record),
        *_body(record, offered),
    ):
        if value not in (None, "", ()):
            yield name, _plain(value, offered), of


def _identity(record: VehicleRecord) -> Iterator[tuple[str, Any, str]]:
    yield "stock", record.stock, "stock"
    yield "vin", record.vin, "vin"
    yield "location", record.location, "location"
    for key in _IDENTITY:
        yield key, getattr(record.vehicle, key), f"vehicle.{key}"
    for key in ("gross_weight_pounds", "front_axle_pounds", "rear_axle_pounds"):
        yield key, getattr(record.vehicle, key), f"vehicle.{key}"


def _papers(record: VehicleRecord, offered: Offered) -> Iterator[tuple[str, Any, str]]:
    odometer, title, recalls = record.odometer, record.title, record.recalls
    yield "odometer", _number(odometer.reading, offered.units.distance.value), "odometer.reading"
    yield "read_on", odometer.read_on.isoformat(), "odometer.read_on"
    if odometer.statement is not OdometerStatement.NOT_STATED:
        yield "statement", odometer.statement.value, "odometer.statement"
    if title is not None:
        yield "brand", "none" if title.brand is NoBrand.NONE else "some", "title"
        yield "brand_words", title.brand if isinstance(title.brand, LocalizedText) else None, "title"
    if recalls is not None:
        yield "recalls", "some" if recalls.open else "none", "recalls"
        yield "recalls_words", _lines([recall.what for recall in recalls.open]), "recalls"
        yield "recalls_on", recalls.checked_on.isoformat(), "recalls"
    first = listed_terms(record.sale_terms)[0]
    yield "terms", "warranty" if isinstance(first, WarrantyTerms) else first.value, "sale_terms"
    yield "warranty", first.warranty if isinstance(first, WarrantyTerms) else None, "sale_terms"
    yield "price", record.price, "price"
    yield "by", record.inspection.by, "inspection.by"
    yield "notes", record.notes, "notes"


def _tires(record: VehicleRecord, offered: Offered) -> Iterator[tuple[str, Any, str]]:
    tires, units = record.tires, offered.units
    yield "placard_size", tires.placard_size, "tires.placard_size"
    yield "placard_size_rear", tires.placard_size_rear, "tires.placard_size_rear"
    yield "dual_rear", "dual" if tires.is_dual else None, "tires.dual_rear"
    for key in ("placard_pressure", "placard_pressure_rear"):
        yield key, _number(getattr(tires, key), units.pressure.value), f"tires.{key}"
    for wheel in Wheel:
        tire, name = tires.at(wheel), f"tires.{wheel}"
        if tire is None:
            continue
        for key in ("size", "kind", "date_code", "fitted_on"):
            yield f"{name}.{key}", getattr(tire, key), f"{name}.{key}"
        yield f"{name}.pressure", _number(tire.pressure, units.pressure.value), f"{name}.pressure"
        yield f"{name}.fitted_at", _number(tire.fitted_at, units.distance.value), f"{name}.fitted_at"
        yield f"{name}.new_tread", _mark(tire.new_tread, offered.tread), f"{name}.new_tread"
        for place in ("outer", "center", "inner"):
            depth = None if tire.tread is None else getattr(tire.tread, place)
            yield f"{name}.{place}", _mark(depth, offered.tread), f"{name}.tread.{place}"


def _brakes(record: VehicleRecord, offered: Offered) -> Iterator[tuple[str, Any, str]]:
    for wheel in Wheel:
        brake, name = record.brakes.at(wheel), f"brakes.{wheel}"
        if brake is None:
            continue
        metal, linings = ("drum", "shoes") if isinstance(brake, DrumBrake) else ("rotor", "pads")
        yield f"{name}.kind", brake.kind, f"{name}.kind"
        for place, depth in brake.linings().items():
            yield f"{name}.{place}", _mark(depth, offered.lining), f"{name}.{linings}.{place}"
        new = brake.new_pads if isinstance(brake, DiscBrake) else brake.new_shoes
        yield f"{name}.new_lining", _mark(new, offered.lining), f"{name}.new_{linings}"
        yield f"{name}.fitted_at", _number(brake.fitted_at, offered.units.distance.value), f"{name}.fitted_at"
        yield f"{name}.fitted_on", brake.fitted_on, f"{name}.fitted_on"
        yield f"{name}.{metal}", _number(getattr(brake, metal), "mm"), f"{name}.{metal}"
        discard, of = getattr(brake, f"{metal}_discard"), f"{name}.{metal}_discard"
        yield f"{name}.{metal}_discard", "marked" if isinstance(discard, Depth) else discard, of
        yield f"{name}.{metal}_discard_at", _number(discard, "mm") if isinstance(discard, Depth) else None, of


def _fluids(record: VehicleRecord, offered: Offered) -> Iterator[tuple[str, Any, str]]:
    battery = record.battery or Battery()
    fluid, coolant, traction = record.brake_fluid, record.coolant, record.traction_battery
    for name, value, of in (
        ("tested", _number(battery.tested, "CCA"), "battery.tested"),
        ("rated", _number(battery.rated, "CCA"), "battery.rated"),
        ("volts", _number(battery.rest_voltage, "V"), "battery.rest_voltage"),
        ("rested", battery.rested_hours, "battery.rested_hours"),
        ("fitted_on", battery.fitted_on, "battery.fitted_on"),
        ("moisture", fluid and _number(fluid.moisture, "%"), "brake_fluid.moisture"),
        ("boils_at", fluid and _number(fluid.boils_at, offered.units.temperature.value), "brake_fluid.boils_at"),
        ("grade", fluid and fluid.grade, "brake_fluid.grade"),
        (
            "freezes_at",
            coolant and _number(coolant.freezes_at, offered.units.temperature.value),
            "coolant.freezes_at",
        ),
        ("health", traction and _number(traction.state_of_health, "%"), "traction_battery.state_of_health"),
        ("method", traction and traction.method, "traction_battery.method"),
        (
            "range",
            traction and _number(traction.range_at_full, offered.units.distance.value),
            "traction_battery.range_at_full",
        ),
    ):
        yield f"fluids.{name}", value, of


def _checks(record: VehicleRecord) -> Iterator[tuple[str, Any, str]]:
    for point, check in record.checks.items():
        noted = check if isinstance(check, CheckNote) else CheckNote(finding=check)
        if noted.finding is CheckResult.NOT_CHECKED:
            continue
        name = f"checks.{point}"
        yield f"{name}.finding", noted.finding.value, name
        for key in ("note", "because", "affects", "defect"):
            yield f"{name}.{key}", getattr(noted, key), name


def _body(record: VehicleRecord, offered: Offered) -> Iterator[tuple[str, Any, str]]:
    for answer, items in (("has", record.equipment.has), ("lacks", record.equipment.lacks)):
        named = {text.casefold() for item in items for text in item.versions.values()}
        for piece, words in offered.equipment.items():
            if words & named:
                yield f"equipment.{piece}", answer, "equipment"
    for reading in record.paint:
        named = {text.casefold() for text in reading.panel.versions.values()}
        for panel, words in offered.panels.items():
            if words & named:
                yield f"paint.{panel}", " ".join(_number(each, _PAINT) or "" for each in reading.readings), "paint"


def _defect(defect: Defect, record: VehicleRecord, offered: Offered) -> Json:
    """Return a known defect by the names of a new one, with its id and the day on which it was seen last."""
    done = {"done": "left"} if defect.done is LeftAsItIs.LEFT else {"done": "told", "done_words": defect.done}
    values = {
        "id": defect.id,
        "on": record.look_at(f"defects.{defect.id}").on.isoformat(),
        "kind": defect.kind,
        "station": defect.where.station.value,
        "wheel": defect.where.wheel,
        "part": defect.where.part,
        "size_written": defect.size and defect.size.written,
        "affects": defect.affects.value,
        "because": defect.because,
        "words": defect.words,
        **(done if defect.done is not None else {}),
        "photos": [photo.file for photo in defect.photos],
    }
    return {name: _plain(value, offered) for name, value in values.items() if value is not None}


def _promise(promise: Promise, offered: Offered) -> Json:
    return {
        "id": promise.id,
        "what": _plain(promise.what, offered),
        "renews": list(promise.renews),
        "settles": list(promise.settles),
        "by": promise.by and promise.by.value,
    }


def _service(service: Any, offered: Offered) -> Json:
    at = _number(service.at, offered.units.distance.value)
    return {"service": service.service, "done_on": service.done_on and service.done_on.written, "at": at}


def _number(quantity: Quantity | None, unit: str) -> str | None:
    """Return the number of a figure in the page's unit, or the whole text of one in another unit."""
    if quantity is None:
        return None
    figure = quantity.written.removesuffix(unit).rstrip("\u00a0\u202f ")
    return figure if figure != quantity.written and "/" not in figure else quantity.written


def _mark(depth: Depth | None, marks: Mapping[Depth, str]) -> str | None:
    """Return the mark of a ruler for a depth, or the written text if there is none."""
    return None if depth is None else marks.get(depth, depth.written)


def _lines(texts: Iterable[LocalizedText]) -> LocalizedText | None:
    """Return several texts as one with a line for each, in every language that one of them has."""
    texts = list(texts)
    tags = {tag for text in texts for tag in text.versions}
    return LocalizedText({tag: "\n".join(text.best(tag, "")[0] for text in texts) for tag in tags}) if texts else None


def _plain(value: Any, offered: Offered) -> Any:
    """Return a value as JSON: texts by language, partial dates as written, numbers as the page has them."""
    if isinstance(value, LocalizedText):
        return {tag or offered.first_language: text for tag, text in value.versions.items()}
    if isinstance(value, Decimal):
        return str(int(value)) if value == value.to_integral_value() else str(value)
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    return getattr(value, "written", value)
