"""Build the data of the bay page: the choices that it offers, and the limits that it checks entries against. Pure.

Keys are those of the record, so that a saved file can be read. Texts come from the message catalog.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Any

from sitegen.condition.basis.limits import limit_for
from sitegen.condition.basis.values import Limit
from sitegen.condition.batteries_fluids_body.batteries import DRIVEN_BY_BATTERY
from sitegen.pages.bay.known import Offered
from sitegen.pages.bay.labels import labels
from sitegen.pages.bay.more_choices import more_choices
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.photos.card.sizing import NotMeasured
from sitegen.photos.opening.limits import CardLimits, photo_limits
from sitegen.records.disclosure import Affects, CheckResult, Station
from sitegen.records.figures import Figures, SizeUnit, TreadUnit
from sitegen.records.quantities import (
    AreaShare,
    CrankingCurrent,
    Depth,
    Distance,
    FilmThickness,
    Length,
    Pressure,
    Quantity,
    Share,
    Temperature,
    Voltage,
)
from sitegen.records.sourced import Sourced
from sitegen.records.store import Region
from sitegen.records.theme import BodyPlaces
from sitegen.records.vehicle import (
    AXLES,
    ON_THE_GROUND,
    REAR_OF_SIX,
    AtWheel,
    Axle,
    Body,
    Drive,
    Fuel,
    PlainTerms,
    Transmission,
    Wheel,
)
from sitegen.records.wear import FluidGrade, HealthMethod

Json = dict[str, Any]

_DEEPEST = {TreadUnit.THIRTY_SECONDS: 14, TreadUnit.MILLIMETRES: 20}
"""The last step of the tread ruler: 14/32 in, or 10 mm in half millimeters. Common practice: few tires are deeper."""
_THICKEST = 14
"""The last millimeter of the lining ruler. Common practice: new pads have 8 to 12 mm."""
_BESIDE = 64
"""Distance of the outer pins from the drawing's left and right edge, in the drawing's units."""
CARD_LIMITS = CardLimits.model_fields.keys() - Sourced.model_fields.keys()
_AROUND = 52
"""Space in front of a body and behind it for pins, in the drawing's units."""
_WIDTH = 400
_APART = 76
"""Distance between two pins of a column, in the drawing's units: 48 pixels on a screen 320 pixels wide."""


_USUAL_PRICE_CHANGE = {"least": 0.25, "most": 4}
"""New price divided by the previous one. The page asks about a price outside these limits (our own limits)."""


@dataclass(frozen=True)
class Shop:
    """The settings of a store that the page depends on."""

    figures: Figures
    bodies: Mapping[str, BodyPlaces]
    translators: Sequence[Translator]
    """One translator for each language of the store, the first language first."""
    locations: Sequence[str] = ()
    """The names of a group's locations; empty for a store with one."""


def bay_vocabulary(shop: Shop, translator: Translator) -> Json:
    """Return the data that the page's scripts need in one language, as JSON values.

    Messages keep their `{figures}`, which the scripts fill in.
    """
    figures, words = shop.figures, translator.catalog
    units, vocabulary, expected = figures.region.units, figures.vocabulary, figures.standing.expected
    catalogs = [each.catalog for each in shop.translators]
    return {
        "language": words.language,
        "locale": translator.formats.locale_tag,
        "words": labels(words),
        "card_words": {
            "size": words.form("card.size_in_inches" if units.size is SizeUnit.INCHES else "card.size"),
            **{reason.value: words.form(f"card.{reason.value}") for reason in NotMeasured},
        },
        "card": {name: getattr(photo_limits().card, name) for name in sorted(CARD_LIMITS)},
        "units": _units(translator.formats),
        "most": _most(translator.formats),
        "check_digit_is_required": figures.region.region is Region.UNITED_STATES,
        **more_choices(figures, words, _tread_steps(units.tread), _lining_steps()),
        "vehicles": [],
        "price_change": _USUAL_PRICE_CHANGE,
        "wheels": [_wheel(wheel, axle, figures, words) for wheel, axle in _wheels()],
        "inner_wheels": [_inner_wheel(wheel, figures, words) for wheel in REAR_OF_SIX if wheel not in ON_THE_GROUND],
        "spare": {
            "key": Wheel.SPARE.value,
            "words": words.say(f"wheel.{Wheel.SPARE}"),
            "tread": _ruler(_tread_steps(units.tread), None),
        },
        "body": _choices("body", Body, words),
        "drive": _choices("drive", Drive, words),
        "fuel": _choices("fuel", Fuel, words),
        "transmission": _choices("transmission", Transmission, words),
        "driven_by_battery": [fuel.value for fuel in DRIVEN_BY_BATTERY],
        "terms": [*_choices("terms", PlainTerms, words), {"key": "warranty", "words": words.say("terms.warranty")}],
        "locations": [{"key": name, "words": name} for name in shop.locations],
        "affects": _choices("affects", Affects, words),
        "finding": _choices("finding", CheckResult, words),
        "at_wheel": _choices("at_wheel", AtWheel, words),
        "method": _choices("method", HealthMethod, words),
        "grade": [{"key": grade.value, "words": grade.value} for grade in FluidGrade],
        "stations": _choices("station", Station, words),
        "points": [
            {
                "key": key,
                "words": words.say(f"point.{key}"),
                "station": point.station.value,
                "safety": point.usually is Affects.SAFETY and not point.note_decides,
                "only_for": list(point.only_for),
                "not_for": list(point.not_for),
                "by_defect": point.defect_decides,
                "expected_from": expected[key].year if key in expected else None,
            }
            for key, point in vocabulary.check_points.items()
        ],
        "kinds": [
            {
                "key": key,
                "words": words.say(f"kind.{key.replace(' ', '_')}"),
                "ends": key in figures.tires.ends_life,
                "is_rust": key in figures.body.rust_kinds,
                "usually": kind.usually.value,
            }
            for key, kind in vocabulary.defect_kinds.items()
        ],
        "panels": [_named(f"panel.{panel}", panel, words, catalogs) for panel in vocabulary.walk_lists.panels],
        "equipment": [
            _named(f"equipment.{piece}", piece, words, catalogs) for piece in vocabulary.walk_lists.equipment
        ],
        "places": {name: station_places(places) for name, places in shop.bodies.items()},
    }


def offered_by(shop: Shop) -> Offered:
    """Return the choices that the page offers as buttons, so that a known value can be recognized among them."""
    units, lists = shop.figures.region.units, shop.figures.vocabulary.walk_lists
    catalogs = [translator.catalog for translator in shop.translators]

    def names(group: str, keys: Iterable[str]) -> dict[str, frozenset[str]]:
        return {key: frozenset(each.say(f"{group}.{key}").casefold() for each in catalogs) for key in keys}

    return Offered(
        units=units,
        tread={Depth.parse(step): step for step in _tread_steps(units.tread)},
        lining={Depth.parse(step): step for step in _lining_steps()},
        panels=names("panel", lists.panels),
        equipment=names("equipment", lists.equipment),
        first_language=catalogs[0].language,
    )


def _units(formats: Formats) -> Json:
    units = formats.units
    return {
        "distance": units.distance.value,
        "temperature": units.temperature.value,
        "pressure": units.pressure.value,
        "tread": "thirty_seconds" if units.tread is TreadUnit.THIRTY_SECONDS else "millimeters",
        "sizes": ["in"] if units.size is SizeUnit.INCHES else ["mm", "cm"],
        "paint": ["µm", "mil"],
        "currency": formats.currency,
    }


def _most(formats: Formats) -> dict[str, float]:
    """Return the largest value that the record accepts for each figure, by the figure's name in the scripts."""
    units = formats.units
    kinds: dict[str, tuple[type[Quantity], str]] = {
        "odometer": (Distance, units.distance.value),
        "range": (Distance, units.distance.value),
        "metal": (Depth, "mm"),
        "pressure": (Pressure, units.pressure.value),
        "tested": (CrankingCurrent, "CCA"),
        "rated": (CrankingCurrent, "CCA"),
        "volts": (Voltage, "V"),
        "moisture": (Share, "%"),
        "boils_at": (Temperature, units.temperature.value),
        "health": (Share, "%"),
        "freezes_at": (Temperature, units.temperature.value),
        "rusted": (AreaShare, "%"),
        **{f"size_{unit}": (Length, unit) for unit in _units(formats)["sizes"]},
        **{f"paint_{unit}": (FilmThickness, unit) for unit in _units(formats)["paint"]},
    }
    return {name: float(kind.largest / kind.units[unit]) for name, (kind, unit) in kinds.items()}


def _named(key: str, name: str, words: Catalog, catalogs: Sequence[Catalog]) -> Json:
    """Return a choice whose name the record stores in every language of the store."""
    return {"key": name, "words": words.say(key), "all": {each.language: each.say(key) for each in catalogs}}


def view_box(places: BodyPlaces) -> tuple[float, float, float, float]:
    """Return the SVG view box of a body's drawing: left, top, width, height. The front is at the top."""
    return 0, places.front - _AROUND, _WIDTH, places.rear - places.front + 2 * _AROUND


def station_places(places: BodyPlaces) -> dict[str, tuple[float, float]]:
    """Return the tap target of each station: x and y in percent of the drawing's width and height."""
    left, middle, right = _BESIDE, _WIDTH // 2, _WIDTH - _BESIDE
    columns: dict[int, dict[Station, float]] = {
        left: {
            Station.LEFT_FRONT: places.front_axle - 40,
            Station.LEFT_SIDE: 400,
            Station.WHEELS: (places.rear_axle + 400) / 2,
            Station.LEFT_REAR: places.rear_axle + 40,
        },
        middle: {
            Station.FRONT: places.front - 12,
            Station.ENGINE_BAY: sum(places.engine_bay) / 2,
            Station.ROOF_AND_GLASS: sum(places.roof_and_glass) / 2,
            Station.CABIN: sum(places.cabin) / 2,
            Station.LOAD_SPACE: sum(places.load_space) / 2,
            Station.REAR: places.rear + 12,
        },
        right: {
            Station.RIGHT_FRONT: places.front_axle - 40,
            Station.RIGHT_SIDE: 400,
            Station.UNDERSIDE: (places.rear_axle + 400) / 2,
            Station.RIGHT_REAR: places.rear_axle + 40,
        },
    }
    across, top, width, height = view_box(places)
    return {
        station.value: (round((x - across) / width * 100, 2), round((y - top) / height * 100, 2))
        for x, wanted in columns.items()
        for station, y in _spread(wanted, places.rear + 12).items()
    }


def _spread(wanted: Mapping[Station, float], last: float) -> dict[Station, float]:
    """Return the y coordinates of a column's pins, at least _APART from each other and none beyond `last`."""
    order = sorted(wanted, key=lambda station: wanted[station])
    heights = dict(wanted)
    for before, station in pairwise(order):
        heights[station] = max(heights[station], heights[before] + _APART)
    heights[order[-1]] = min(heights[order[-1]], last)
    for station, after in reversed(list(pairwise(order))):
        heights[station] = min(heights[station], heights[after] - _APART)
    return heights


def _wheels() -> Iterable[tuple[Wheel, Axle]]:
    return [(wheel, axle) for wheel in ON_THE_GROUND for axle in Axle if wheel in AXLES[axle]]


def _wheel(wheel: Wheel, axle: Axle, figures: Figures, words: Catalog) -> Json:
    tread = limit_for(figures.region.tread_limits, None, axle)
    lining = limit_for(figures.region.lining_limits, None, axle)
    return {
        "key": wheel.value,
        "words": words.say(f"wheel.{wheel}"),
        "tread": _ruler(_tread_steps(figures.region.units.tread), tread),
        "lining": _ruler(_lining_steps(), lining),
    }


def _inner_wheel(wheel: Wheel, figures: Figures, words: Catalog) -> Json:
    """Return the inner wheel of a rear axle that has two on each side. The brake is at the outer one."""
    limit = limit_for(figures.region.tread_limits, None, Axle.REAR)
    tread = _ruler(_tread_steps(figures.region.units.tread), limit)
    return {"key": wheel.value, "words": words.say(f"wheel.{wheel}"), "tread": tread}


def _lining_steps() -> list[str]:
    return [f"{millimeters} mm" for millimeters in range(_THICKEST + 1)]


def _tread_steps(unit: TreadUnit) -> list[str]:
    steps = range(_DEEPEST[unit] + 1)
    if unit is TreadUnit.THIRTY_SECONDS:
        return [f"{step}/32 in" for step in steps]
    return [f"{step // 2}{'.5' if step % 2 else ''} mm" for step in steps]


def _ruler(steps: Iterable[str], limit: Limit | None) -> list[Json]:
    """Return the marks of a ruler, lowest first. A limit in millimeters is a mark too: 1.6, between 1.5 and 2."""
    marks = {Depth.parse(step): step for step in steps}
    if limit is not None and limit.value.written.endswith(" mm"):
        marks.setdefault(limit.value, limit.value.written)
    return [_step(written, limit) for _, written in sorted(marks.items())]


def _step(written: str, limit: Limit | None) -> Json:
    """Return one mark of a ruler: its text in the record, its label, and whether it is below the limit."""
    number = written.split("/")[0].removesuffix(" mm")
    depth = Depth.parse(written)
    return {"value": written, "shown": number, "below": limit is not None and depth < limit.value}


def _choices(group: str, values: Iterable[StrEnum], words: Catalog) -> list[Json]:
    return [{"key": value.value, "words": words.say(f"{group}.{value.replace(' ', '_')}")} for value in values]
