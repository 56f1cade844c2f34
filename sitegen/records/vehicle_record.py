"""The whole record of one vehicle: what `inspection.yaml` holds."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, StringConstraints

from sitegen.records.base import LocalizedText, OrNone, Record, Shape
from sitegen.records.disclosure import (
    Addition,
    Check,
    Defect,
    Equipment,
    Event,
    Inspection,
    Photo,
    Promise,
    Work,
)
from sitegen.records.vehicle import (
    EarlierReading,
    Name,
    Odometer,
    Price,
    Recalls,
    SaleTerms,
    Status,
    Title,
    Vehicle,
    Vin,
)
from sitegen.records.walk_around import WalkAround
from sitegen.records.wear import (
    Battery,
    BrakeFluid,
    Brakes,
    Coolant,
    PaintReading,
    ServiceRecord,
    Tires,
    TractionBattery,
)

Stock = Annotated[
    str,
    StringConstraints(max_length=40),
    Shape(
        "[A-Za-z0-9]+(-[A-Za-z0-9]+)*",
        "letters and digits, with single hyphens between (K102)",
        "leave out spaces and other signs, for it becomes part of the page's address",
    ),
]


class VehicleRecord(Record):
    """One vehicle: what it is, what was measured, what is wrong with it, and how it is sold."""

    stock: Stock
    """The store's own number for the vehicle, and the name of its folder."""
    formerly: tuple[Stock, ...] = ()
    """Stock numbers that the vehicle had before: their addresses lead on to its page."""
    status: Status
    listed_on: date | None = None
    sold_on: date | None = None
    price: Price | None = None
    """Asking price in the store's currency."""
    vin: Vin
    location: Name | None = None
    vehicle: Vehicle
    odometer: Odometer
    earlier_readings: tuple[EarlierReading, ...] = ()
    title: Title | None = None
    recalls: Recalls | None = None
    sale_terms: SaleTerms
    inspection: Inspection
    tires: Tires = Tires()
    brakes: Brakes = Brakes()
    brake_fluid: BrakeFluid | None = None
    coolant: Coolant | None = None
    battery: Battery | None = None
    traction_battery: TractionBattery | None = None
    paint: tuple[PaintReading, ...] = ()
    services: tuple[ServiceRecord, ...] = ()
    """What the records show was done; what is not here counts as not known."""
    checks: dict[str, Check] = Field(default_factory=dict)
    """Findings by check point; a point that is not here was not checked."""
    work_done: Annotated[tuple[Work, ...], OrNone()] = ()
    before_delivery: Annotated[tuple[Promise, ...], OrNone()] = ()
    not_for_road_use: bool = False
    """Sold for parts or off-road use only."""
    additions: Annotated[tuple[Addition, ...], OrNone()] = ()
    """What an earlier owner fitted; `none` where the store found nothing, left out where nobody noted it."""
    equipment: Equipment = Equipment()
    defects: Annotated[tuple[Defect, ...], OrNone()] = ()
    """What is wrong; `none` where the walk-around found nothing, left out where nobody noted it."""
    photos: tuple[Photo, ...] = ()
    walk_around: WalkAround | None = None
    history: tuple[Event, ...] = ()
    notes: LocalizedText | None = None
    """Anything else, as Markdown."""
