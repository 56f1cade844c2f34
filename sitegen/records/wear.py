"""What the shop measured: tires, brakes, batteries, fluids, paint. What is left out was not measured."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, PlainSerializer, PlainValidator, StringConstraints, Tag
from pydantic_core import PydanticCustomError

from sitegen.records.base import LocalizedText, PartialDate, Record, Shape, misread
from sitegen.records.quantities import (
    CrankingCurrent,
    Depth,
    Distance,
    FilmThickness,
    Pressure,
    Share,
    Temperature,
    Voltage,
)
from sitegen.records.vehicle import Wheel

NotMarked = Literal["not marked"]
"""No federal rule requires a discard figure on a rotor or drum (NHTSA interpretation 7871, 1992)."""


def _read_discard(written: Any) -> Depth | NotMarked:
    if written == "not marked":
        return "not marked"
    if isinstance(written, Depth):
        return written
    expected = f"{Depth.expected}, or: not marked"
    if not isinstance(written, str):
        raise misread(expected, f"write the unit after the number, for example {Depth.example}")
    try:
        return Depth.parse(written)
    except PydanticCustomError as fault:
        raise misread(expected, str((fault.context or {})["mend"])) from None


def _write_discard(figure: Depth | NotMarked) -> str:
    return figure.written if isinstance(figure, Depth) else figure


Discard = Annotated[
    Depth | NotMarked,
    PlainValidator(_read_discard, json_schema_input_type=Depth | NotMarked),
    PlainSerializer(_write_discard),
]
"""A figure at which a part is discarded, as marked on it by the maker."""


class TireKind(StrEnum):
    """What the tire is made for."""

    ALL_SEASON = "all-season"
    SUMMER = "summer"
    WINTER = "winter"
    ALL_TERRAIN = "all-terrain"
    MUD_TERRAIN = "mud-terrain"
    SPARE = "temporary spare"


class TreadDepths(Record):
    """Tread at up to three places across the tire, each the lowest found round the tire there."""

    outer: Depth | None = None
    center: Depth | None = None
    inner: Depth | None = None

    def measured(self) -> tuple[Depth, ...]:
        """Return the depths that were measured, from the outer edge inward."""
        return tuple(depth for depth in (self.outer, self.center, self.inner) if depth is not None)

    def lowest(self) -> Depth | None:
        """Return the lowest measured depth: the point that decides. Never the average."""
        return min(self.measured(), default=None)


DateCode = Annotated[
    str,
    Shape(
        "[0-9]{3,4}|not visible",
        "the four digits of week and year (3523), three before 2000, or: not visible",
        "read the last digits of the tire identification number, which may stand on one sidewall only",
    ),
]


class Tire(Record):
    """One tire as found on the vehicle."""

    size: Annotated[str, StringConstraints(min_length=5, max_length=40)] | None = None
    """Size as on the sidewall, with load index and speed symbol if read: 235/65R17 104H."""
    kind: TireKind | None = None
    date_code: DateCode | None = None
    """Last four digits of the tire identification number: week and year; three before 2000; or `not visible`."""
    tread: TreadDepths | None = None
    new_tread: Depth | None = None
    """Depth when new, if known."""
    fitted_at: Distance | None = None
    """Odometer when fitted, if known."""
    fitted_on: PartialDate | None = None
    pressure: Pressure | None = None
    note: LocalizedText | None = None


class Tires(Record):
    """The tires, by the wheel they are on. Left is the driver's left when seated facing forward."""

    left_front: Tire | None = None
    right_front: Tire | None = None
    left_rear: Tire | None = None
    right_rear: Tire | None = None
    spare: Tire | None = None
    placard_size: Annotated[str, StringConstraints(min_length=5, max_length=40)] | None = None
    """Size on the door label, with load index and speed symbol if given."""

    def at(self, wheel: Wheel) -> Tire | None:
        """Return the tire of a wheel."""
        tire: Tire | None = getattr(self, wheel.value)
        return tire


class PadThicknesses(Record):
    """Friction material left on each pad, without the backing plate, at its thinnest end."""

    inner: Depth | None = None
    outer: Depth | None = None

    def measured(self) -> tuple[Depth, ...]:
        """Return the thicknesses that were measured."""
        return tuple(depth for depth in (self.inner, self.outer) if depth is not None)


def _both_pads(written: Any) -> Any:
    return {"inner": written, "outer": written} if isinstance(written, str) else written


Pads = Annotated[PadThicknesses, BeforeValidator(_both_pads, json_schema_input_type=PadThicknesses | Depth)]
"""Each pad by itself, or one figure that holds for both: pads: 5 mm."""


class ShoeThicknesses(Record):
    """Lining left on each shoe, over the rivets if riveted."""

    leading: Depth | None = None
    trailing: Depth | None = None

    def measured(self) -> tuple[Depth, ...]:
        """Return the thicknesses that were measured."""
        return tuple(depth for depth in (self.leading, self.trailing) if depth is not None)


def _measured_places(group: PadThicknesses | ShoeThicknesses | None) -> dict[str, Depth]:
    places = {} if group is None else {name: getattr(group, name) for name in type(group).model_fields}
    return {place: depth for place, depth in places.items() if depth is not None}


class DiscBrake(Record):
    """A disc brake at one wheel."""

    kind: Literal["disc"]
    pads: Pads | None = None
    new_pads: Depth | None = None
    rotor: Depth | None = None
    """Rotor thickness, at its thinnest."""
    rotor_discard: Discard | None = None
    """Thickness at which the maker says to discard it, as marked on the rotor; or `not marked`."""
    fitted_at: Distance | None = None
    """Odometer when the pads were fitted, if known."""
    fitted_on: PartialDate | None = None
    note: LocalizedText | None = None

    def linings(self) -> dict[str, Depth]:
        """Return the linings that were measured, by their place."""
        return _measured_places(self.pads)


class DrumBrake(Record):
    """A drum brake at one wheel."""

    kind: Literal["drum"]
    shoes: ShoeThicknesses | None = None
    bonded: bool | None = None
    new_shoes: Depth | None = None
    drum: Depth | None = None
    """Inside diameter of the drum, at its widest."""
    drum_discard: Discard | None = None
    """Largest diameter the maker allows, as marked on the drum; or `not marked`."""
    fitted_at: Distance | None = None
    fitted_on: PartialDate | None = None
    note: LocalizedText | None = None

    def linings(self) -> dict[str, Depth]:
        """Return the linings that were measured, by their place."""
        return _measured_places(self.shoes)


def _kind_of_brake(written: Any) -> str:
    kind = written.get("kind") if isinstance(written, dict) else getattr(written, "kind", None)
    if kind in ("disc", "drum"):
        return f"a {kind} brake"
    keys = set(written) if isinstance(written, dict) else set()
    return "a drum brake" if keys & {"shoes", "new_shoes", "drum", "drum_discard"} else "a disc brake"


Brake = Annotated[
    Annotated[DiscBrake, Tag("a disc brake")] | Annotated[DrumBrake, Tag("a drum brake")],
    Discriminator(_kind_of_brake),
]


class Brakes(Record):
    """The brakes, by wheel."""

    left_front: Brake | None = None
    right_front: Brake | None = None
    left_rear: Brake | None = None
    right_rear: Brake | None = None

    def at(self, wheel: Wheel) -> Brake | None:
        """Return the brake of a wheel; a spare has none."""
        brake: Brake | None = getattr(self, wheel.value, None)
        return brake


class FluidGrade(StrEnum):
    """Brake fluid grades of 49 CFR 571.116."""

    DOT_3 = "DOT 3"
    DOT_4 = "DOT 4"
    DOT_5 = "DOT 5"
    DOT_5_1 = "DOT 5.1"


class BrakeFluid(Record):
    """Brake fluid as tested."""

    grade: FluidGrade | None = None
    moisture: Share | None = None
    tested_on: date | None = None
    note: LocalizedText | None = None


class Coolant(Record):
    """Coolant as tested: the freezing point is read on the tester, never worked out from a mix."""

    freezes_at: Temperature | None = None
    tested_on: date | None = None
    note: LocalizedText | None = None


class Battery(Record):
    """The 12 V battery."""

    tested: CrankingCurrent | None = None
    rated: CrankingCurrent | None = None
    rest_voltage: Voltage | None = None
    rested_hours: Annotated[int, Field(ge=0, le=1_000)] | None = None
    """Hours since the last charge or drive before `rest_voltage` was read."""
    fitted_on: PartialDate | None = None
    tested_on: date | None = None
    note: LocalizedText | None = None


class HealthMethod(StrEnum):
    """How the state of health of a traction battery was found."""

    VEHICLE_DISPLAY = "vehicle display"
    DIAGNOSTIC_TOOL = "diagnostic tool"
    CAPACITY_TEST = "capacity test"


class TractionBattery(Record):
    """The high-voltage battery that drives the vehicle."""

    state_of_health: Share | None = None
    method: HealthMethod | None = None
    measured_on: date | None = None
    range_at_full: Distance | None = None
    """Range shown at a full charge, on the day of the inspection."""
    note: LocalizedText | None = None


class PaintReading(Record):
    """Paint thickness at one panel."""

    panel: LocalizedText
    readings: Annotated[tuple[FilmThickness, ...], Field(min_length=1)]
    note: LocalizedText | None = None


class ServiceRecord(Record):
    """A service that the records show was done."""

    service: str
    """Key of the service, such as engine_oil."""
    done_on: PartialDate | None = None
    at: Distance | None = None
    note: LocalizedText | None = None
