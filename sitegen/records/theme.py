"""What the data files of a theme hold: the look of pictures for shared links, and places in its drawings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import RootModel

from sitegen.records.base import Record, Shape
from sitegen.records.vehicle import Body, Vehicle

CENTER = 200
"""The center line of every drawing. Its units are the drawing's own: 108 to the meter."""

_REGULAR_CAB = "pickup regular cab"
DRAWINGS = (*(body.value for body in Body), _REGULAR_CAB)
"""The drawings that a theme needs, by name."""

HexColor = Annotated[
    str, Shape("#[0-9A-Fa-f]{6}", 'a color as red, green and blue ("#1c2024")', "write # and six hexadecimal digits")
]


class ShareLook(Record):
    """What `share_picture.yaml` holds: a font file in the theme, and colors as #rrggbb."""

    font: str
    paper: HexColor
    ink: HexColor
    soft_ink: HexColor
    line: HexColor
    accent: HexColor


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


class DrawingPlaces(RootModel[dict[str, BodyPlaces]]):
    """What `components/body-plan/places.yaml` holds: the places of every drawing, by its name."""


@dataclass(frozen=True)
class ThemeData:
    """What is read of a theme besides its templates, styles and scripts."""

    share_look: ShareLook
    share_font: Path
    bodies: Mapping[str, BodyPlaces]
    """By the name of the drawing."""


def drawing_of(vehicle: Vehicle) -> str:
    """Return the name of the drawing that shows a vehicle: its body, and for a pickup its cab."""
    if vehicle.body is Body.PICKUP and vehicle.doors is not None and vehicle.doors <= 2:
        return _REGULAR_CAB
    return vehicle.body.value


def drawing_file(name: str) -> str:
    """Return where in a theme a drawing is: `components/body-plan/bodies/cargo-van.html`."""
    return f"components/body-plan/bodies/{name.replace(' ', '-')}.html"
