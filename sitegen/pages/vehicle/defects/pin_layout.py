"""Where pins stand round a drawing of a body so that no two overlap: whole numbers, in the drawing's own units.

Pins of the outside stand beside the body, in the order in which they lie along it, each with a line to its station;
pins of the inside stand within the outline. What no view from above can show, and what finds no room, stands in rows
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
"""From the center of a pin to the next: 25 CSS pixels where a drawing is 284 wide, as on a phone of 320."""
RADIUS = 17
"""Of a pin's target, which so is 24 CSS pixels across there, as WCAG 2.2 asks for (2.5.8 Target Size, Minimum)."""
GAP = 12
"""From the outline of the body to the edge of the nearest pin."""
INSET = 12
"""From the outline of the body inward to where the line of a pin ends."""
LABEL = 30
"""Height of the label over a row below the drawing."""

Where = tuple[Station, AtWheel | None]
LEFT, RIGHT = -1, 1


@dataclass(frozen=True)
class Spot:
    """A point of the drawing."""

    x: int
    y: int


@dataclass(frozen=True)
class Standing:
    """Where a pin stands, and where on the body its line ends, if it stands beside the body."""

    at: Spot
    end: Spot | None = None


@dataclass(frozen=True)
class Layout:
    """Every pin of a drawing by its place, the rows below the drawing, and how far up and down it all reaches."""

    standing: Mapping[Where, tuple[Standing, ...]]
    rows: tuple[tuple[Where, int], ...]
    """Places with pins below the drawing, and how far down the baseline of each label is."""
    top: int
    bottom: int


def lay_out(places: BodyPlaces, counts: Mapping[Where, int]) -> Layout:
    """Lay out so many pins at each place.

    One defect at the front of a body whose front is at 138 stands at 200, 109: that is 12 + 17 above it.
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
"""From front to rear, as they lie along the body."""


def _beside(places: BodyPlaces, side: int, counts: Mapping[Where, int]) -> dict[Where, tuple[Standing, ...]]:
    """Stand pins in a column along one side, as near to their stations as they fit.

    Where one column is too short for all, every other pin moves to a second one, half a pitch further on.
    """
    room = places.rear - places.front
    crowded = sum(counts.values()) > room // PITCH + 1
    step = PITCH // 2 if crowded else PITCH
    ends = [(where, _end(places, side, where)) for where, count in counts.items() for _ in range(count)]
    ends = ends[: room // step + 1]
    wanted = [end.y + step * (2 * place - count + 1) // 2 for place, count, end in _counted(ends)]
    heights = _spread(wanted, step, places.front, places.rear)
    found: dict[Where, tuple[Standing, ...]] = dict.fromkeys(counts, ())
    for place, ((where, end), height) in enumerate(zip(ends, heights, strict=True)):
        away = places.side + GAP + RADIUS + (PITCH if crowded and place % 2 else 0)
        found[where] += (Standing(Spot(CENTER + side * away, height), end),)
    return found


def _counted(ends: list[tuple[Where, Spot]]) -> Iterator[tuple[int, int, Spot]]:
    """Yield for each pin its place among those of its station, and how many those are."""
    stations = [where for where, _ in ends]
    for place, (where, end) in enumerate(ends):
        yield place - stations.index(where), stations.count(where), end


def _spread(wanted: list[int], step: int, top: int, bottom: int) -> list[int]:
    """Return heights at least a step apart and within bounds, each as near to the wanted one as the order allows."""
    heights: list[int] = []
    for height in wanted:
        heights.append(max(height, heights[-1] + step if heights else top))
    last = len(heights) - 1
    return [min(height, bottom - (last - place) * step) for place, height in enumerate(heights)]


def _end(places: BodyPlaces, side: int, where: Where) -> Spot:
    """Return where on the body the lines of a side's station end: on a wheel, or inside the outline."""
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
    """Stand as many pins as fit within the outline, in even rows about the middle of the station."""
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
    """Stand pins in rows before the front or behind the rear, the first row nearest."""
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
    """Return how many pins stand side by side over the width of the body."""
    return (2 * places.side - PITCH) // PITCH


def _even(count: int, columns: int) -> list[int]:
    """Return the lengths of the fewest rows that hold so many, as even as can be: 5 over 4 columns is 3 and 2."""
    rows = -(-count // columns)
    return [count // rows + (place < count % rows) for place in range(rows)]


def _across(length: int) -> Iterator[int]:
    for place in range(length):
        yield CENTER + PITCH * (2 * place - length + 1) // 2


def _reach(places: BodyPlaces, standing: Mapping[Where, tuple[Standing, ...]]) -> tuple[int, int]:
    heights = [found.at.y for group in standing.values() for found in group]
    top = min([places.front, *(height - RADIUS for height in heights)])
    bottom = max([places.rear, *(height + RADIUS for height in heights)])
    return top - GAP // 2, bottom + GAP // 2
