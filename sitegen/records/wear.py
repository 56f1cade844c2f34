"""Measurements by the shop: tires, brakes, batteries, fluids, paint, services. A field left out was not measured.

Also the inspection itself: its day, odometer reading, person and gauges.
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, PlainSerializer, PlainValidator, Tag
from pydantic_core import PydanticCustomError

from sitegen.records.base import LocalizedText, Note, PartialDate, Record, Slug, input_error
from sitegen.records.quantities import (
    CrankingCurrent,
    Depth,
    Distance,
    FilmThickness,
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
        raise input_error(expected, f"write the unit after the number, for example {Depth.example}")
    try:
        return Depth.parse(written)
    except PydanticCustomError as fault:
        raise input_error(expected, str((fault.context or {})["mend"])) from None


def _write_discard(figure: Depth | NotMarked) -> str:
    return figure.written if isinstance(figure, Depth) else figure


Discard = Annotated[
    Depth | NotMarked,
    PlainValidator(_read_discard, json_schema_input_type=Depth | NotMarked),
    PlainSerializer(_write_discard),
]
"""Discard thickness or diameter as marked on the part by its maker, or `not marked`."""


class PadThicknesses(Record):
    """Friction material on each pad, without the backing plate, at the thinnest end."""

    inner: Depth | None = None
    """Inner pad, on the side of the vehicle."""
    outer: Depth | None = None
    """Outer pad, on the side of the wheel."""

    def measured(self) -> tuple[Depth, ...]:
        """Return the measured thicknesses, inner pad first."""
        return tuple(depth for depth in (self.inner, self.outer) if depth is not None)


def _both_pads(written: Any) -> Any:
    return {"inner": written, "outer": written} if isinstance(written, str) else written


Pads = Annotated[PadThicknesses, BeforeValidator(_both_pads, json_schema_input_type=PadThicknesses | Depth)]
"""Thickness of each pad, or one thickness for both: `pads: 5 mm`."""


class ShoeThicknesses(Record):
    """Lining on each shoe, above the rivets if it is riveted."""

    leading: Depth | None = None
    """Shoe that faces the front."""
    trailing: Depth | None = None
    """Shoe that faces the rear."""

    def measured(self) -> tuple[Depth, ...]:
        """Return the measured thicknesses, leading shoe first."""
        return tuple(depth for depth in (self.leading, self.trailing) if depth is not None)


def _measured_places(group: PadThicknesses | ShoeThicknesses | None) -> dict[str, Depth]:
    places = {} if group is None else {name: getattr(group, name) for name in type(group).model_fields}
    return {place: depth for place, depth in places.items() if depth is not None}


class DiscBrake(Record):
    """Disc brake of one wheel."""

    kind: Literal["disc"]
    """The word `disc`."""
    pads: Pads | None = None
    """Friction material on each pad, without the backing plate; or one figure for both."""
    new_pads: Depth | None = None
    """Thickness of the pads when new, if known."""
    rotor: Depth | None = None
    """Rotor thickness at its thinnest point."""
    rotor_discard: Discard | None = None
    """Discard thickness marked on the rotor by its maker, or `not marked`."""
    fitted_at: Distance | None = None
    """Odometer reading when the pads were fitted, if known."""
    fitted_on: PartialDate | None = None
    """Day, month or year when the pads were fitted, if known."""
    note: Note = None

    def linings(self) -> dict[str, Depth]:
        """Return the measured pads by position."""
        return _measured_places(self.pads)


class DrumBrake(Record):
    """Drum brake of one wheel."""

    kind: Literal["drum"]
    """The word `drum`."""
    shoes: ShoeThicknesses | None = None
    bonded: bool | None = None
    """Whether the lining is bonded to the shoe. Riveted linings have another limit."""
    new_shoes: Depth | None = None
    """Thickness of the lining when new, if known."""
    drum: Depth | None = None
    """Inside diameter of the drum at its widest point."""
    drum_discard: Discard | None = None
    """Largest diameter marked on the drum by its maker, or `not marked`."""
    fitted_at: Distance | None = None
    """Odometer when the shoes were fitted, if known."""
    fitted_on: PartialDate | None = None
    """Day, month or year when the shoes were fitted, if known."""
    note: Note = None

    def linings(self) -> dict[str, Depth]:
        """Return the measured shoes by position."""
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
    """Brakes by wheel."""

    left_front: Brake | None = None
    """Brake at the left front wheel, `kind: disc` or `kind: drum`."""
    right_front: Brake | None = None
    """Brake at the right front wheel, `kind: disc` or `kind: drum`."""
    left_rear: Brake | None = None
    """Brake at the left rear wheel, `kind: disc` or `kind: drum`."""
    right_rear: Brake | None = None
    """Brake at the right rear wheel, `kind: disc` or `kind: drum`."""

    def at(self, wheel: Wheel) -> Brake | None:
        """Return the brake at a wheel, or None. A spare wheel has none."""
        brake: Brake | None = getattr(self, wheel.value, None)
        return brake


class FluidGrade(StrEnum):
    """Brake fluid grades of 49 CFR 571.116."""

    DOT_3 = "DOT 3"
    DOT_4 = "DOT 4"
    DOT_5 = "DOT 5"
    DOT_5_1 = "DOT 5.1"


class BrakeFluid(Record):
    """Test of the brake fluid."""

    grade: FluidGrade | None = None
    moisture: Share | None = None
    """Water in the fluid, as the tester shows it."""
    boils_at: Temperature | None = None
    """Boiling point, as the tester shows it. It is never computed from the moisture."""
    tested_on: date | None = None
    """Day of the test. Without it, the day of the inspection."""
    note: Note = None


class Coolant(Record):
    """Test of the coolant. The freezing point is read from the tester, not computed from the mix."""

    freezes_at: Temperature | None = None
    """Freezing point as read on the tester."""
    tested_on: date | None = None
    """Day of the test. Without it, the day of the inspection."""
    note: Note = None


class Battery(Record):
    """Test of the 12 V battery."""

    tested: CrankingCurrent | None = None
    """Cranking current that the tester measured."""
    rated: CrankingCurrent | None = None
    """Cranking current printed on the battery."""
    rest_voltage: Voltage | None = None
    """Voltage after a rest without load."""
    rested_hours: Annotated[int, Field(ge=0, le=1_000)] | None = None
    """Hours between the last charge or drive and the reading of `rest_voltage`."""
    fitted_on: PartialDate | None = None
    """Day, month or year when fitted, if known."""
    tested_on: date | None = None
    """Day of the test. Without it, the day of the inspection."""
    note: Note = None


class HealthMethod(StrEnum):
    """Method by which the state of health of a traction battery was determined."""

    VEHICLE_DISPLAY = "vehicle display"
    DIAGNOSTIC_TOOL = "diagnostic tool"
    CAPACITY_TEST = "capacity test"


class TractionBattery(Record):
    """Test of the high-voltage traction battery."""

    state_of_health: Share | None = None
    """Capacity left, as a share of the capacity when new."""
    method: HealthMethod | None = None
    measured_on: date | None = None
    """Day of the measurement. Without it, the day of the inspection."""
    range_at_full: Distance | None = None
    """Range that the vehicle displayed at full charge on the day of the inspection."""
    note: Note = None


class PaintReading(Record):
    """Paint thickness readings on one panel."""

    panel: LocalizedText
    """Panel that was measured, such as left front door."""
    readings: Annotated[tuple[FilmThickness, ...], Field(min_length=1)]
    """Each reading on that panel."""
    note: Note = None


class ServiceRecord(Record):
    """A service that documents show was done."""

    id: Slug | None = None
    """Name by which a visit can change it or take it back."""
    service: str
    """Key of the service, such as `engine_oil`."""
    done_on: PartialDate | None = None
    """Day, month or year when it was done."""
    at: Distance | None = None
    """Odometer when it was done."""
    note: Note = None


class Gauge(Record):
    """A gauge, and the smallest step that it shows."""

    name: LocalizedText
    """What the gauge is called."""
    reads_to: Depth | None = None
    """Smallest step that it shows. The outlook allows for a reading error of half of it."""


class Gauges(Record):
    """The gauges used at the inspection."""

    tread: Gauge | None = None
    pads: Gauge | None = None
    rotors: Gauge | None = None
    battery: Gauge | None = None
    brake_fluid: Gauge | None = None
    paint: Gauge | None = None


class Inspection(Record):
    """The day, odometer reading, inspector and gauges of an inspection."""

    done_on: date
    """Day of the inspection."""
    at: Distance | None = None
    """Odometer at the inspection."""
    by: LocalizedText | None = None
    """Who inspected the vehicle, as the page should say it."""
    gauges: Gauges = Gauges()
