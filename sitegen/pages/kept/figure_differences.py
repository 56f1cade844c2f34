"""Compare measured figures of two versions: tires, brakes, batteries, fluids, odometer. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.values import Tread, Word
from sitegen.pages.kept.difference import (
    Facts,
    PublishedDifference,
    difference,
    figure_of,
    part_of,
    section_difference,
)
from sitegen.records.quantities import CrankingCurrent, Depth, Distance, Quantity, Share, Temperature
from sitegen.records.vehicle import Wheel
from sitegen.records.wheels.tires import OF_ALL_TIRES

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
"""For each key of the record: its figure, the figure's type, the message, the section's heading, and two anchors."""
TESTED = tuple(_TESTED)


def tires(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield a difference for each changed tire, and one of the whole section if the door label's values changed.

    It names the lowest tread if that was added, removed or changed; else it says that the tire's details changed.
    """
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

    if any(part_of(old, "tires").get(key) != part_of(new, "tires").get(key) for key in OF_ALL_TIRES):
        yield section_difference("tires", "tires.heading", "tires", "measured")


def brakes(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield a difference for each changed brake: by its thinnest lining, else a general one about its details."""
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
    """Yield the changed test figure of a battery or a fluid, else a general difference of its section.

    Yields one in any case: call it only if the facts differ.
    """
    name, kind, key, heading, *places = _TESTED[about]
    was, now = (figure_of(kind, part_of(facts, about).get(name)) for facts in (old, new))
    if was is not None and now is not None and was != now:
        yield difference(about, key, *places, "measured", now=now, was=was)
    else:
        yield section_difference(about, heading, *places[1:], "measured")


def odometer(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield the changed odometer reading, else a general difference for a new day or statement.

    Yields one in any case: call it only if the facts differ.
    """
    was, now = (figure_of(Distance, part_of(facts, "odometer").get("reading")) for facts in (old, new))
    if was is not None and now is not None and was != now:
        yield difference("odometer", "kept.odometer", "offer", now=now, was=was)
    else:
        yield section_difference("odometer", "papers.odometer", "papers")


def _lowest(part: Facts, group: str) -> Depth | None:
    read = (figure_of(Depth, depth) for depth in part_of(part, group).values())
    return min((depth for depth in read if depth is not None), default=None)


def _is_another(before: Facts, after: Facts) -> bool:
    """Return whether two tires are certainly different ones: date code, size, kind or new tread differ."""
    pairs = ((before.get(key), after.get(key)) for key in ("date_code", "size", "kind", "new_tread"))
    return any(old is not None and new is not None and old != new for old, new in pairs)
