"""What was measured otherwise: tires, brakes, batteries, fluids. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.values import Tread, Word
from sitegen.pages.kept.difference import Facts, PublishedDifference, difference, figure_of, named_otherwise, part_of
from sitegen.records.quantities import CrankingCurrent, Depth, Distance, Quantity, Share, Temperature
from sitegen.records.vehicle import Wheel

_TESTED: dict[str, tuple[str, type[Quantity], str, str, str, str]] = {
    "battery": ("tested", CrankingCurrent, "since.battery", "panel.battery", "figure-battery-tested", "battery"),
    "brake_fluid": ("moisture", Share, "since.moisture", "panel.fluids", "figure-moisture", "fluids"),
    "coolant": ("freezes_at", Temperature, "since.coolant", "panel.fluids", "figure-freezes", "fluids"),
    "traction_battery": (
        "state_of_health",
        Share,
        "since.traction_battery",
        "panel.traction_battery",
        "figure-health",
        "traction-battery",
    ),
}
"""Of each key of the record: the figure that is told, its kind, its sentence; heading and anchors of all it holds."""
TESTED = tuple(_TESTED)


def tires(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield what is new of each tire: its lowest tread, else that something else of it is told otherwise."""
    for wheel in Wheel:
        before, after = part_of(old, "tires", wheel), part_of(new, "tires", wheel)
        if before == after:
            continue
        places = (f"figure-tires-{wheel.replace('_', '-')}", "tires", "measured")
        was, now = _lowest(before, "tread"), _lowest(after, "tread")
        at = Word(f"at_wheel.{wheel}")
        if was is not None and now is not None and was != now:
            key = "since.other_tire" if _is_another(before, after) else "since.tire"
            yield difference("tires", key, *places, wheel=at, now=Tread(now), was=Tread(was))
        elif was is None and now is not None:
            yield difference("tires", "kept.tire_measured", *places, is_new=True, wheel=at, now=Tread(now))
        elif was is not None and now is None:
            yield difference("tires", "kept.tire_not_measured", *places, wheel=at, was=Tread(was))
        else:
            yield difference("tires", "kept.tire_details", *places, wheel=at)

    if part_of(old, "tires").get("placard_size") != part_of(new, "tires").get("placard_size"):
        yield named_otherwise("tires", "tires.heading", "tires", "measured")


def brakes(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield the same of each brake, by its thinnest lining."""
    for wheel in Wheel:
        before, after = part_of(old, "brakes", wheel), part_of(new, "brakes", wheel)
        if before == after:
            continue
        places = (f"figure-brakes-{wheel.replace('_', '-')}", "brakes", "measured")
        was, now = (_lowest(brake, "pads") or _lowest(brake, "shoes") for brake in (before, after))
        at = Word(f"at_wheel.{wheel}")
        if was is not None and now is not None and was != now:
            yield difference("brakes", "since.lining", *places, wheel=at, now=now, was=was)
        elif was is None and now is not None:
            yield difference("brakes", "kept.lining_measured", *places, is_new=True, wheel=at, now=now)
        elif was is not None and now is None:
            yield difference("brakes", "kept.lining_not_measured", *places, wheel=at, was=was)
        else:
            yield difference("brakes", "kept.brake_details", *places, wheel=at)


def tested(about: str, old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield what a tester shows now, else that something else of a battery or a fluid is told otherwise."""
    name, kind, key, heading, *places = _TESTED[about]
    was, now = (figure_of(kind, part_of(facts, about).get(name)) for facts in (old, new))
    if was is not None and now is not None and was != now:
        yield difference(about, key, *places, "measured", now=now, was=was)
    else:
        yield named_otherwise(about, heading, *places[1:], "measured")


def odometer(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield the reading; of a new day or statement, that the papers tell it otherwise."""
    was, now = (figure_of(Distance, part_of(facts, "odometer").get("reading")) for facts in (old, new))
    if was is not None and now is not None and was != now:
        yield difference("odometer", "kept.odometer", "offer", now=now, was=was)
    else:
        yield named_otherwise("odometer", "papers.odometer", "papers")


def _lowest(part: Facts, group: str) -> Depth | None:
    read = (figure_of(Depth, depth) for depth in part_of(part, group).values())
    return min((depth for depth in read if depth is not None), default=None)


def _is_another(before: Facts, after: Facts) -> bool:
    """Tell whether two tires are surely not one, as the page that tells of two inspections does."""
    pairs = ((before.get(key), after.get(key)) for key in ("date_code", "size", "kind", "new_tread"))
    return any(one is not None and other is not None and one != other for one, other in pairs)
