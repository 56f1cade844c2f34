"""Compute positions of pins round a body drawing so that no two overlap. Integers, in the drawing's own units.

Pins of outside stations are beside the body, in their order along it, each with a line to its station. Pins of inside
stations are within the outline. Pins of stations that are not visible from above, and pins without room, are in rows
below the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitegen.records.disclosure import Station
from sitegen.records.theme import CENTER, BodyPlaces
from sitegen.records.vehicle import AtWheel

WIDTH = 2 * CENTER
"""Width of every drawing."""
PITCH = 36
"""Distance of two pins' centers: 25 CSS pixels if the drawing is 284 wide, as on a phone 320 wide."""
RADIUS = 17
"""Radius of a pin's target: 24 CSS pixels across on that phone, as WCAG 2.2 requires (2.5.8 Target Size, Minimum)."""
GAP = 12
"""Distance from the outline of the body to the edge of the nearest pin."""
INSET = 12
"""Distance from the outline of the body inward to the end of a pin's line."""
LABEL = 30
"""Height of the label above a row below the drawing."""

Where = tuple[Station, AtWheel | None]
LEFT, RIGHT = -1, 1


@dataclass(frozen=True)
class Spot:
    """A point of the drawing."""

    x: int
    y: int


@dataclass(frozen=True)
class Standing:
    """The position of a pin, and the end of its line on the body if it has one."""

    at: Spot
    end: Spot | None = None


@dataclass(frozen=True)
class Layout:
    """The pins of a drawing by station and wheel, the rows below the drawing, and the vertical extent of all."""

    standing: Mapping[Where, tuple[Standing, ...]]
    rows: tuple[tuple[Where, int], ...]
    """The stations with pins below the drawing, and the y coordinate of each label's baseline."""
    top: int
    bottom: int


def lay_out(places: BodyPlaces, counts: Mapping[Where, int]) -> Layout:
    """Return the layout of `counts` pins at each station and wheel.

    The pin of one defect at the front of a body whose front is at y = 138 is at 200, 109: GAP + RADIUS above it.
    """
    standing: dict[Where, tuple[Standing, ...]] = dict.fromkeys(counts, ())
    for side, stations in ((LEFT, _LEFT_STATIONS), (RIGHT, _RIGHT_STATIONS)):
        standing.update(_beside(places, side, {where: counts[where] for where in stations if where in counts}))
    for where, count in counts.items():
        if where[0] in _INSIDE:
            standing[where] = tuple(_inside(places, where[0], count))
        elif where[0] in (Station.FRONT, Station.REAR):
            standing[where] = tuple(_before_or_behind(places, where[0], count))
    top, bottom = _reach(places, standing)
    rows = []
    for where, count in counts.items():
        missing = count - len(standing[where])
        if missing:
            rows.append((where, bottom + LABEL - GAP // 2))
            below = tuple(_below(bottom + LABEL, missing))
            standing[where] += below
            bottom = below[-1].at.y + RADIUS + GAP // 2
    return Layout(standing, tuple(rows), top, bottom)


_INSIDE = (Station.ROOF_AND_GLASS, Station.CABIN, Station.LOAD_SPACE, Station.ENGINE_BAY)
_LEFT_STATIONS: tuple[Where, ...] = (
    (Station.LEFT_FRONT, None),
    (Station.WHEELS, AtWheel.LEFT_FRONT),
    (Station.LEFT_SIDE, None),
    (Station.WHEELS, AtWheel.LEFT_REAR),
    (Station.LEFT_REAR, None),
)
_RIGHT_STATIONS: tuple[Where, ...] = (
    (Station.RIGHT_FRONT, None),
    (Station.WHEELS, AtWheel.RIGHT_FRONT),
    (Station.RIGHT_SIDE, None),
    (Station.WHEELS, AtWheel.RIGHT_REAR),
    (Station.RIGHT_REAR, None),
)
"""The stations along each side of the body, from front to rear."""


def _beside(places: BodyPlaces, side: int, counts: Mapping[Where, int]) -> dict[Where, tuple[Standing, ...]]:
    """Place pins in a column along one side, as near to their stations as possible.

    If one column is too short, every other pin moves to a second column, half a pitch further down.
    """
    room = places.rear - places.front
    crowded = sum(counts.values()) > room // PITCH + 1
    step = PITCH // 2 if crowded else PITCH
    ends = [(where, _end(places, side, where)) for where, count in counts.items() for _ in range(count)]
    ends = ends[: room // step + 1]
    wanted = [end.y + step * (2 * place - count + 1) // 2 for place, count, end in _counted(ends)]
    heights = _spread(wanted, step, places.front, places.rear)
    pins: dict[Where, tuple[Standing, ...]] = dict.fromkeys(counts, ())
    for place, ((where, end), height) in enumerate(zip(ends, heights, strict=True)):
        away = places.side + GAP + RADIUS + (PITCH if crowded and place % 2 else 0)
        pins[where] += (Standing(Spot(CENTER + side * away, height), end),)
    return pins


def _counted(ends: list[tuple[Where, Spot]]) -> Iterator[tuple[int, int, Spot]]:
    """Yield for each pin its index within its station, the station's number of pins, and the end of its line."""
    stations = [where for where, _ in ends]
    for place, (where, end) in enumerate(ends):
        yield place - stations.index(where), stations.count(where), end


def _spread(wanted: list[int], step: int, top: int, bottom: int) -> list[int]:
    """Return y coordinates at least `step` from each other and within bounds, each near its wanted value."""
    heights: list[int] = []
    for height in wanted:
        heights.append(max(height, heights[-1] + step if heights else top))
    last = len(heights) - 1
    return [min(height, bottom - (last - place) * step) for place, height in enumerate(heights)]


def _end(places: BodyPlaces, side: int, where: Where) -> Spot:
    """Return the point of the body where the lines of a station end: on a wheel, or inside the outline."""
    station, wheel = where
    corner, wall, tire = places.side - INSET - 4, places.side - INSET, places.side + 2
    if wheel is not None:
        front = wheel in (AtWheel.LEFT_FRONT, AtWheel.RIGHT_FRONT)
        return Spot(CENTER + side * tire, places.front_axle if front else places.rear_axle)
    if station in (Station.LEFT_FRONT, Station.RIGHT_FRONT):
        return Spot(CENTER + side * corner, places.front + 3 * INSET)
    if station in (Station.LEFT_REAR, Station.RIGHT_REAR):
        return Spot(CENTER + side * corner, places.rear - 3 * INSET)
    return Spot(CENTER + side * wall, (places.front_axle + places.rear_axle) // 2)


def _inside(places: BodyPlaces, station: Station, count: int) -> Iterator[Standing]:
    """Place as many pins as fit within the outline, in even rows centered on the station."""
    spans = {
        Station.ENGINE_BAY: places.engine_bay,
        Station.ROOF_AND_GLASS: places.roof_and_glass,
        Station.CABIN: places.cabin,
        Station.LOAD_SPACE: places.load_space,
    }
    first, last = spans[station]
    lines = _even(min(count, _columns(places) * ((last - first) // PITCH)), _columns(places))
    for place, length in enumerate(lines):
        height = (first + last) // 2 + PITCH * (2 * place - len(lines) + 1) // 2
        yield from (Standing(Spot(across, height)) for across in _across(length))


def _before_or_behind(places: BodyPlaces, station: Station, count: int) -> Iterator[Standing]:
    """Place pins in rows in front of the body or behind it, starting with the nearest row."""
    edge, away = (places.front, -1) if station is Station.FRONT else (places.rear, 1)
    end = Spot(CENTER, edge - away * INSET)
    for place, length in enumerate(_even(count, _columns(places))):
        height = edge + away * (GAP + RADIUS + PITCH * place)
        yield from (Standing(Spot(across, height), end) for across in _across(length))


def _below(top: int, count: int) -> Iterator[Standing]:
    columns = WIDTH // PITCH
    for place in range(count):
        yield Standing(Spot(PITCH // 2 + PITCH * (place % columns), top + RADIUS + PITCH * (place // columns)))


def _columns(places: BodyPlaces) -> int:
    """Return the number of pins that fit side by side within the width of the body."""
    return (2 * places.side - PITCH) // PITCH


def _even(count: int, columns: int) -> list[int]:
    """Return the lengths of the fewest even rows that hold `count` pins: 5 pins in 4 columns is 3 and 2."""
    rows = -(-count // columns)
    return [count // rows + (place < count % rows) for place in range(rows)]


def _across(length: int) -> Iterator[int]:
    for place in range(length):
        yield CENTER + PITCH * (2 * place - length + 1) // 2


def _reach(places: BodyPlaces, standing: Mapping[Where, tuple[Standing, ...]]) -> tuple[int, int]:
    heights = [pin.at.y for group in standing.values() for pin in group]
    top = min([places.front, *(height - RADIUS for height in heights)])
    bottom = max([places.rear, *(height + RADIUS for height in heights)])
    return top - GAP // 2, bottom + GAP // 2
