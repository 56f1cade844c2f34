"""Data files of a theme: colors and font of share pictures, and coordinates in the drawings of vehicle bodies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import RootModel

from sitegen.records.base import Record, Shape
from sitegen.records.vehicle import Body, Vehicle

CENTER = 200
"""X coordinate of the center line of every drawing, in drawing units. One meter is 108 units."""

_REGULAR_CAB = "pickup regular cab"
DRAWINGS = (*(body.value for body in Body), _REGULAR_CAB)
"""Names of the drawings that every theme must have."""

HexColor = Annotated[
    str, Shape("#[0-9A-Fa-f]{6}", 'a color as red, green and blue ("#1c2024")', "write # and six hexadecimal digits")
]


class ShareLook(Record):
    """Contents of `share_picture.yaml`: the font file, and colors as #rrggbb."""

    font: str
    paper: HexColor
    ink: HexColor
    soft_ink: HexColor
    line: HexColor
    accent: HexColor


class BodyPlaces(Record):
    """Coordinates in one drawing, in drawing units, with the front of the vehicle at the top.

    Vertical positions count from the top; `side` counts outward from the center line.
    """

    front: int
    rear: int
    side: int
    front_axle: int
    rear_axle: int
    engine_bay: tuple[int, int]
    roof_and_glass: tuple[int, int]
    cabin: tuple[int, int]
    load_space: tuple[int, int]


class DrawingPlaces(RootModel[dict[str, BodyPlaces]]):
    """Contents of `components/body-plan/places.yaml`: the coordinates of every drawing, by its name."""


@dataclass(frozen=True)
class ThemeData:
    """Data that is read from a theme in addition to its templates, styles and scripts."""

    share_look: ShareLook
    share_font: Path
    bodies: Mapping[str, BodyPlaces]
    """Coordinates by the name of the drawing."""


def drawing_of(vehicle: Vehicle) -> str:
    """Return the name of the drawing that shows a vehicle: its body, or the regular cab of a two-door pickup."""
    if vehicle.body is Body.PICKUP and vehicle.doors is not None and vehicle.doors <= 2:
        return _REGULAR_CAB
    return vehicle.body.value


def drawing_file(name: str) -> str:
    """Return the path of a drawing inside a theme, such as `components/body-plan/bodies/cargo-van.html`."""
    return f"components/body-plan/bodies/{name.replace(' ', '-')}.html"
