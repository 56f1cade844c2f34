"""Vehicles that hypothesis makes up: old and new, measured and not, with and without papers."""

from __future__ import annotations

from datetime import date
from typing import Any

from hypothesis import strategies as some

WHEELS = ("left_front", "right_front", "left_rear", "right_rear")
SERVICES = ("engine_oil", "coolant", "timing_belt", "brake_fluid", "spark_plugs", "tire_rotation", "cabin_filter")


def maybe(strategy: some.SearchStrategy[Any]) -> some.SearchStrategy[Any]:
    """A value, or `...`: the key is left out of the record."""
    return some.just(...) | strategy


thirty_seconds = some.integers(0, 44).map(lambda quarters: f"{quarters / 4:g}/32 in")
millimetres = some.integers(0, 140).map(lambda tenths: f"{tenths / 10:g} mm")
days = some.dates(date(2010, 1, 1), date(2026, 11, 1)).map(str)
partial_days = days | days.map(lambda day: day[:7]) | days.map(lambda day: day[:4])


@some.composite
def changes(draw: some.DrawFn) -> dict[str, Any]:
    """Changes to the base vehicle that keep it a valid record."""
    reading = draw(some.integers(0, 400_000))

    def miles() -> str:
        return f"{draw(some.integers(0, reading))} mi"

    def tire() -> dict[str, Any]:
        return {
            "tread": {place: draw(maybe(thirty_seconds)) for place in ("outer", "center", "inner")},
            "kind": draw(maybe(some.sampled_from(["all-season", "winter", "summer"]))),
            "new_tread": draw(some.sampled_from([..., "10/32 in", "11/32 in"])),
            "fitted_at": draw(some.sampled_from([..., miles()])),
            "fitted_on": draw(maybe(partial_days)),
            "date_code": draw(some.sampled_from([..., "not visible", "2423", "1018", "2014", "409", "5526"])),
        }

    def brake() -> dict[str, Any]:
        return {
            "pads": {place: draw(maybe(millimetres)) for place in ("inner", "outer")},
            "new_pads": draw(some.sampled_from([..., "12 mm"])),
            "rotor": draw(some.sampled_from([..., "27.1 mm", "25.9 mm"])),
            "rotor_discard": draw(some.sampled_from([..., "not marked", "26 mm"])),
            "fitted_at": draw(some.sampled_from([..., miles()])),
        }

    return {
        "vehicle": {
            "year": draw(some.integers(1996, 2027)),
            "drive": draw(some.sampled_from(["fwd", "rwd", "awd", "4wd"])),
            "fuel": draw(some.sampled_from(["gasoline", "diesel", "hybrid", "electric"])),
            "timing": draw(some.sampled_from([..., "belt", "chain"])),
        },
        "odometer": {
            "reading": f"{reading} mi",
            "statement": draw(some.sampled_from(["actual", "actual", "exempt"])),
        },
        "inspection": {"at": draw(some.sampled_from([..., f"{reading} mi"]))},
        "earlier_readings": [],
        "tires": {wheel: draw(some.sampled_from([..., tire()])) for wheel in WHEELS},
        "brakes": {wheel: draw(some.sampled_from([..., {"kind": "disc"} | brake()])) for wheel in WHEELS},
        "battery": {
            "tested": draw(some.sampled_from([..., "300 CCA", "450 CCA", "600 CCA"])),
            "fitted_on": draw(maybe(partial_days)),
        },
        "services": [
            {"service": service, "done_on": draw(partial_days)} | draw(some.sampled_from([{}, {"at": miles()}]))
            for service in draw(some.sets(some.sampled_from(SERVICES)))
        ],
        "work_done": [],
    }
