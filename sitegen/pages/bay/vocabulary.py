"""What the bay page offers to choose from, and the figures that it holds entries against. Pure.

Every name is the record's own, so that what is saved fits the reader; every word is the catalog's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from typing import Any

from sitegen.condition.basis.limits import limit_for
from sitegen.condition.basis.values import Limit
from sitegen.pages.bay.words import WORDS
from sitegen.pages.language.catalog import Catalog
from sitegen.records.disclosure import Affects, CheckResult, Station
from sitegen.records.figures import Figures, SizeUnit, TreadUnit
from sitegen.records.quantities import Depth
from sitegen.records.theme import BodyPlaces
from sitegen.records.vehicle import AXLES, ON_THE_GROUND, AtWheel, Axle, Body, Drive, Fuel, PlainTerms

Json = dict[str, Any]

_DEEPEST = {TreadUnit.THIRTY_SECONDS: 14, TreadUnit.MILLIMETRES: 20}
"""Steps of the ruler of tread: to 14/32 in, or to 10 mm by halves. Common practice: few road tires are deeper."""
_THICKEST = 14
"""Millimeters of the ruler of linings. Common practice: new pads have 8 to 12 mm."""
_BESIDE = 64
"""From the center line to the pins beside a body, in the drawing's units: clear of its widest."""
VIEW_BOX = (0, 40, 400, 740)
"""Of the drawing of a body: left, top, width, height; front at the top, as the drawings have it."""


def bay_vocabulary(figures: Figures, words: Catalog, bodies: Mapping[str, BodyPlaces]) -> Json:
    """Return all that the page's scripts need in one language, ready to be written as JSON.

    Figures stay in braces, for the scripts to fill in.
    """
    units = figures.region.units
    return {
        "language": words.language,
        "words": {key.removeprefix("bay."): words.form(key) for key in WORDS},
        "units": {
            "distance": units.distance.value,
            "temperature": units.temperature.value,
            "tread": "thirty_seconds" if units.tread is TreadUnit.THIRTY_SECONDS else "millimeters",
            "sizes": ["in"] if units.size is SizeUnit.INCHES else ["mm", "cm"],
        },
        "wheels": [_wheel(wheel.value, axle, figures, words) for wheel, axle in _wheels()],
        "body": _choices("body", Body, words),
        "drive": _choices("drive", Drive, words),
        "fuel": _choices("fuel", Fuel, words),
        "terms": _choices("terms", PlainTerms, words),
        "affects": _choices("affects", Affects, words),
        "finding": _choices("finding", CheckResult, words),
        "at_wheel": _choices("at_wheel", AtWheel, words),
        "stations": _choices("station", Station, words),
        "points": [
            {
                "key": key,
                "words": words.say(f"point.{key}"),
                "station": point.station.value,
                "safety": point.safety,
                "only_for": list(point.only_for),
                "not_for": list(point.not_for),
            }
            for key, point in figures.vocabulary.check_points.items()
        ],
        "kinds": [
            {"key": key, "words": words.say(f"kind.{key.replace(' ', '_')}"), "ends": key in figures.tires.ends_life}
            for key in figures.vocabulary.defect_kinds
        ],
        "places": {name: station_places(places) for name, places in bodies.items()},
    }


def station_places(places: BodyPlaces) -> dict[str, tuple[float, float]]:
    """Return where on the drawing each station is tapped: percent of its width and height, from the left and top."""
    left, right = _BESIDE, VIEW_BOX[2] - _BESIDE
    spots: dict[Station, tuple[int, int]] = {
        Station.FRONT: (200, places.front - 12),
        Station.LEFT_FRONT: (left, places.front_axle - 40),
        Station.LEFT_SIDE: (left, 400),
        Station.LEFT_REAR: (left, places.rear_axle + 40),
        Station.REAR: (200, places.rear + 12),
        Station.RIGHT_REAR: (right, places.rear_axle + 40),
        Station.RIGHT_SIDE: (right, 400),
        Station.RIGHT_FRONT: (right, places.front_axle - 40),
        Station.ROOF_AND_GLASS: (200, sum(places.roof_and_glass) // 2),
        Station.WHEELS: (left, (places.rear_axle + 400) // 2),
        Station.CABIN: (200, sum(places.cabin) // 2),
        Station.LOAD_SPACE: (200, sum(places.load_space) // 2),
        Station.ENGINE_BAY: (200, sum(places.engine_bay) // 2),
        Station.UNDERSIDE: (right, (places.rear_axle + 400) // 2),
    }
    across, top, width, height = VIEW_BOX
    return {
        station.value: (round((x - across) / width * 100, 2), round((y - top) / height * 100, 2))
        for station, (x, y) in spots.items()
    }


def _wheels() -> Iterable[tuple[Any, Axle]]:
    return [(wheel, axle) for wheel in ON_THE_GROUND for axle in Axle if wheel in AXLES[axle]]


def _wheel(key: str, axle: Axle, figures: Figures, words: Catalog) -> Json:
    tread = limit_for(figures.region.tread_limits, None, axle)
    lining = limit_for(figures.region.lining_limits, None, axle)
    return {
        "key": key,
        "words": words.say(f"wheel.{key}"),
        "tread": [_step(depth, tread) for depth in _tread_steps(figures.region.units.tread)],
        "lining": [_step(f"{millimeters} mm", lining) for millimeters in range(_THICKEST + 1)],
    }


def _tread_steps(unit: TreadUnit) -> list[str]:
    steps = range(_DEEPEST[unit] + 1)
    if unit is TreadUnit.THIRTY_SECONDS:
        return [f"{step}/32 in" for step in steps]
    return [f"{step // 2}{'.5' if step % 2 else ''} mm" for step in steps]


def _step(written: str, limit: Limit | None) -> Json:
    """Return one mark of a ruler: as the record writes it, as it is shown, and whether it is below the limit."""
    number = written.split("/")[0].removesuffix(" mm")
    depth = Depth.parse(written)
    return {"value": written, "shown": number, "below": limit is not None and depth < limit.value}


def _choices(group: str, values: Iterable[StrEnum], words: Catalog) -> list[Json]:
    return [{"key": one.value, "words": words.say(f"{group}.{one.replace(' ', '_')}")} for one in values]
