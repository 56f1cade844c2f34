"""Where things are in a theme's drawings of bodies: read from the theme, for whatever is pinned on a drawing."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import yaml
from pydantic import TypeAdapter

from sitegen.records.base import Record
from sitegen.records.vehicle import Body, Vehicle

CENTER = 200
"""The center line of every drawing. Its units are the drawing's own: 108 to the meter."""


class BodyPlaces(Record):
    """Places in one drawing, front at the top: distances down the page, and `side`, from the center line outward."""

    front: int
    rear: int
    side: int
    front_axle: int
    rear_axle: int
    engine_bay: tuple[int, int]
    roof_and_glass: tuple[int, int]
    cabin: tuple[int, int]
    load_space: tuple[int, int]


def read_body_places(path: Path) -> Mapping[str, BodyPlaces]:
    """Return the places of every drawing by its name. A fault is our own mistake, and raises ValidationError."""
    return TypeAdapter(dict[str, BodyPlaces]).validate_python(yaml.safe_load(path.read_text("utf-8")))


def drawing_of(vehicle: Vehicle) -> str:
    """Return the name of the drawing that shows a vehicle: its body, and for a pickup its cab."""
    if vehicle.body is Body.PICKUP and vehicle.doors is not None and vehicle.doors <= 2:
        return "pickup regular cab"
    return vehicle.body.value
