"""The body plan: a line drawing of the body from above, front at the top, with a pin for each defect.

A pin is at the defect's station of the walk. It cannot be more precise, because a record names the part only in
words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.defects import walk_order
from sitegen.pages.vehicle.defects.pin_layout import RADIUS, WIDTH, Layout, Spot, Standing, Where, lay_out
from sitegen.pages.vehicle.defects.standing import effects_of
from sitegen.records.disclosure import Affects, Defect
from sitegen.records.theme import BodyPlaces, drawing_file, drawing_of
from sitegen.records.vehicle import Vehicle
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Pin:
    """The pin of one defect. `line` is the SVG path from a pin outside the outline to the body."""

    number: int
    anchor: str
    affects: Affects
    words: str
    x: int
    y: int
    line: str | None


@dataclass(frozen=True)
class Row:
    """The label of one row of pins below the drawing, with its position."""

    words: str
    y: int


@dataclass(frozen=True)
class BodyPlan:
    """A drawing with its pins, in the order of their numbers."""

    drawing: str
    """The template that draws the body."""
    words: str
    view_box: str
    radius: int
    ends: tuple[Spot, ...]
    """The points of the body where pins' lines end."""
    rows: tuple[Row, ...]
    pins: tuple[Pin, ...]


def body_plan(
    record: VehicleRecord, condition: Condition, bodies: Mapping[str, BodyPlaces], translator: Translator
) -> BodyPlan | None:
    """Return the drawing of a vehicle's body with a pin for each defect, or None if there are no defects.

    `bodies` holds the coordinates of the theme's drawings. Pins have the numbers of the defect cards.
    """
    effects = effects_of(record, condition)
    return pinned(record.vehicle, record.defects, effects, bodies, translator) if record.defects else None


def pinned(
    vehicle: Vehicle,
    defects: Iterable[Defect],
    effects: Mapping[str, Affects],
    bodies: Mapping[str, BodyPlaces],
    translator: Translator,
) -> BodyPlan:
    """Return the drawing of a vehicle's body with a pin for each of the defects, in the colors of their effects."""
    groups: dict[Where, list[tuple[int, Defect]]] = {}
    for number, defect in enumerate(walk_order(defects), start=1):
        groups.setdefault((defect.where.station, defect.where.wheel), []).append((number, defect))
    name = drawing_of(vehicle)
    layout = lay_out(bodies[name], {where: len(group) for where, group in groups.items()})
    pins = [
        _pin(number, defect, effects[defect.id], standing, translator)
        for where, group in groups.items()
        for (number, defect), standing in zip(group, layout.standing[where], strict=True)
    ]
    return BodyPlan(
        drawing=drawing_file(name),
        words=translator.say("body_plan.words", body=translator.choice("body", vehicle.body)),
        view_box=f"0 {layout.top} {WIDTH} {layout.bottom - layout.top}",
        radius=RADIUS,
        ends=_ends(layout),
        rows=tuple(Row(translator.choice("station", station), y) for (station, _), y in layout.rows),
        pins=tuple(sorted(pins, key=lambda pin: pin.number)),
    )


def _pin(number: int, defect: Defect, affects: Affects, standing: Standing, translator: Translator) -> Pin:
    at, end = standing.at, standing.end
    words = translator.say(
        "body_plan.pin",
        number=number,
        kind=translator.choice("kind", defect.kind).lower(),
        part=translator.text(defect.where.part).text,
        station=translator.choice("station", defect.where.station).lower(),
        affects=translator.choice("affects", affects),
    )
    line = f"M{at.x} {at.y}L{end.x} {end.y}" if end else None
    return Pin(number, defect.id, affects, words, at.x, at.y, line)


def _ends(layout: Layout) -> tuple[Spot, ...]:
    """Return the end points of all lines, without duplicates."""
    ends = [standing.end for group in layout.standing.values() for standing in group if standing.end]
    return tuple(dict.fromkeys(ends))
