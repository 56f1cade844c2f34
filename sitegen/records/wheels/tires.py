"""Measurements of the tires by wheel, and the values on the door label. A field left out was not measured."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated

from pydantic import StringConstraints

from sitegen.records.base import Note, PartialDate, Record, Shape
from sitegen.records.quantities import Depth, Distance, Pressure
from sitegen.records.vehicle import AXLES, REAR_OF_SIX, Axle, Wheel


class TireKind(StrEnum):
    """Kind of tire."""

    ALL_SEASON = "all-season"
    SUMMER = "summer"
    WINTER = "winter"
    ALL_TERRAIN = "all-terrain"
    MUD_TERRAIN = "mud-terrain"
    SPARE = "temporary spare"
    INFLATABLE_SPARE = "inflatable spare"

    @property
    def is_temporary(self) -> bool:
        """Whether it is only for the way to a repair."""
        return self in (TireKind.SPARE, TireKind.INFLATABLE_SPARE)


class TreadDepths(Record):
    """Tread depth at up to three places across the tire, each the lowest found around the circumference."""

    outer: Depth | None = None
    """Lowest depth in the groove at the outer edge."""
    center: Depth | None = None
    """Lowest depth in the middle grooves."""
    inner: Depth | None = None
    """Lowest depth in the groove at the inner edge."""

    def measured(self) -> tuple[Depth, ...]:
        """Return the measured depths, from the outer edge inward."""
        return tuple(depth for depth in (self.outer, self.center, self.inner) if depth is not None)

    def lowest(self) -> Depth | None:
        """Return the lowest measured depth, which decides the tire's condition, or None if nothing was measured."""
        return min(self.measured(), default=None)


DateCode = Annotated[
    str,
    Shape(
        "[0-9]{3,4}|not visible",
        "the four digits of week and year (3523), three before 2000, or: not visible",
        "read the last digits of the tire identification number, which may stand on one sidewall only",
    ),
]


SizeAsWritten = Annotated[str, StringConstraints(min_length=5, max_length=40)]


class Tire(Record):
    """One tire on the vehicle."""

    size: SizeAsWritten | None = None
    """Size on the sidewall, with load range, load index and speed symbol if legible: LT245/75R17 121/118S E."""
    kind: TireKind | None = None
    date_code: DateCode | None = None
    """Last digits of the tire identification number: week and year (three digits before 2000), or `not visible`."""
    tread: TreadDepths | None = None
    new_tread: Depth | None = None
    """Tread depth when new, if known."""
    fitted_at: Distance | None = None
    """Odometer reading when fitted, if known."""
    fitted_on: PartialDate | None = None
    """Day, month or year when fitted, if known."""
    pressure: Pressure | None = None
    """Inflation pressure, measured cold."""
    note: Note = None


OF_ALL_TIRES = ("dual_rear", "placard_size", "placard_size_rear", "placard_pressure", "placard_pressure_rear")
"""The keys of `tires` that do not concern a single tire."""


class Tires(Record):
    """Tires by wheel. Left is the left side of a driver who faces forward."""

    left_front: Tire | None = None
    right_front: Tire | None = None
    left_rear: Tire | None = None
    right_rear: Tire | None = None
    left_rear_inner: Tire | None = None
    """Inner tire where the rear axle has two wheels on each side; `left_rear` is the outer one."""
    right_rear_inner: Tire | None = None
    """Inner tire where the rear axle has two wheels on each side; `right_rear` is the outer one."""
    spare: Tire | None = None
    dual_rear: bool = False
    """Whether the rear axle has two wheels on each side. It has if an inner tire is recorded."""
    placard_size: SizeAsWritten | None = None
    """Size on the door label, with load index and speed symbol if shown; of the front tires if they differ."""
    placard_size_rear: SizeAsWritten | None = None
    """Size of the rear tires on the door label, if it is another."""
    placard_pressure: Pressure | None = None
    """Pressure on the door label, cold; of the front tires if the rear ones have another."""
    placard_pressure_rear: Pressure | None = None
    """Pressure of the rear tires on the door label, if it is another."""

    @property
    def is_dual(self) -> bool:
        """Whether the rear axle has two wheels on each side."""
        return self.dual_rear or self.left_rear_inner is not None or self.right_rear_inner is not None

    @property
    def axles(self) -> Mapping[Axle, tuple[Wheel, ...]]:
        """Wheels of each axle, from left to right."""
        return {**AXLES, Axle.REAR: REAR_OF_SIX} if self.is_dual else AXLES

    @property
    def on_the_ground(self) -> tuple[Wheel, ...]:
        """Every wheel but the spare."""
        return tuple(wheel for wheels in self.axles.values() for wheel in wheels)

    def placard_size_of(self, axle: Axle) -> str | None:
        """Return the size on the door label for an axle. None if the record has none."""
        return (self.placard_size_rear if axle is Axle.REAR else None) or self.placard_size

    def placard_pressure_of(self, axle: Axle) -> Pressure | None:
        """Return the pressure on the door label for an axle. None if the record has none."""
        return (self.placard_pressure_rear if axle is Axle.REAR else None) or self.placard_pressure

    def at(self, wheel: Wheel) -> Tire | None:
        """Return the tire at a wheel, or None."""
        tire: Tire | None = getattr(self, wheel.value)
        return tire
