"""The record of one vehicle (`inspection.yaml`, with its visits), and its published changes.

A look is the first inspection, or a visit: the record knows which look stated each of its values.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, PrivateAttr, StringConstraints

from sitegen.records.base import LocalizedText, OrNone, Record, Shape
from sitegen.records.disclosure import (
    Addition,
    Check,
    CheckNote,
    CheckResult,
    Defect,
    Equipment,
    Event,
    Photo,
    Promise,
    Work,
)
from sitegen.records.film import Film
from sitegen.records.money.buying import LineOffer
from sitegen.records.quantities import Distance
from sitegen.records.standing.answers import Harmless
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
from sitegen.records.wear import (
    Battery,
    BrakeFluid,
    Brakes,
    Coolant,
    Gauges,
    Inspection,
    PaintReading,
    ServiceRecord,
    TractionBattery,
)
from sitegen.records.wheels.tires import Tires

Stock = Annotated[
    str,
    StringConstraints(max_length=40),
    Shape(
        "[A-Za-z0-9]+(-[A-Za-z0-9]+)*",
        "letters and digits, with single hyphens between (K102)",
        "leave out spaces and other signs, for it becomes part of the page's address",
    ),
]


ValuePath = tuple[str, ...]
"""Keys from the top of the record to a value. Entries of lists count by their id, file name or panel."""


@dataclass(frozen=True)
class ValueSource:
    """The day, odometer reading, person and gauges of one look: the first inspection, or a visit."""

    on: date
    at: Distance | None
    by: LocalizedText | None
    gauges: Gauges = field(default_factory=Gauges)
    visit: str = ""
    """File name of the visit without its ending. Empty for the first look."""
    number: int = 0
    """Place in the order of the looks."""


class VehicleRecord(Record):
    """One vehicle: its identity, measurements, defects and terms of sale."""

    stock: Stock
    """The store's stock number, which is also the name of the vehicle's folder."""
    formerly: tuple[Stock, ...] = ()
    """Earlier stock numbers. Their web addresses redirect to the vehicle's page."""
    status: Status
    listed_on: date | None = None
    """Day on which the vehicle was first offered."""
    sold_on: date | None = None
    """Day of the sale."""
    price: Price | None = None
    """Asking price in the store's currency."""
    vin: Vin
    """Vehicle identification number. Its check digit and its model-year letter are verified."""
    location: Name | None = None
    """Name of one of the `locations` in `site.yaml`, if the store has several."""
    vehicle: Vehicle
    """What the vehicle is."""
    odometer: Odometer
    """The odometer reading of the inspection, and its day."""
    earlier_readings: tuple[EarlierReading, ...] = ()
    """Odometer readings from documents."""
    title: Title | None = None
    """What the title shows. Left out if the store did not look."""
    recalls: Recalls | None = None
    """Open recalls by VIN. Left out if the store did not look."""
    sale_terms: SaleTerms
    """Terms of the Used Car Rule's window form (16 CFR 455.2(b)), or a warranty in the store's words.
    A list combines one of these with further boxes, such as `[as is, manufacturer warranty]`."""
    inspection: Inspection
    tires: Tires = Tires()
    brakes: Brakes = Brakes()
    brake_fluid: BrakeFluid | None = None
    coolant: Coolant | None = None
    battery: Battery | None = None
    traction_battery: TractionBattery | None = None
    paint: tuple[PaintReading, ...] = ()
    """Paint thickness, panel by panel."""
    outlook: dict[str, LineOffer] = Field(default_factory=dict)
    """What the store offers to do before delivery, by line of the outlook: `timing_belt: {quote: 780}`."""
    services: tuple[ServiceRecord, ...] = ()
    """Services that documents show were done. A service not listed counts as unknown."""
    checks: dict[str, Check] = Field(default_factory=dict)
    """Check results by check point. A point not listed was not checked."""
    work_done: Annotated[tuple[Work, ...], OrNone()] = ()
    """Work that the shop did. `none` if it did none; left out if nobody noted it."""
    before_delivery: Annotated[tuple[Promise, ...], OrNone()] = ()
    """Work that the store promises to do before delivery. `none` if it promises none."""
    not_for_road_use: bool = False
    """Whether the vehicle is sold for parts or off-road use only."""
    additions: Annotated[tuple[Addition, ...], OrNone()] = ()
    """Parts fitted by an earlier owner. `none` if the store found none; left out if nobody noted it."""
    harmless: tuple[Harmless, ...] = ()
    """Words that sound dangerous and are not, with the reason, where no `affects` can be written beside them."""
    equipment: Equipment = Equipment()
    defects: Annotated[tuple[Defect, ...], OrNone()] = ()
    """Defects. `none` if the walk-around found none; left out if nobody noted it."""
    photos: tuple[Photo, ...] = ()
    """Photos of the vehicle. The first is the main photo."""
    film: Film | None = None
    history: tuple[Event, ...] = ()
    """Changes on the page after it was first published, with their reason."""
    notes: LocalizedText | None = None
    """Further notes, as Markdown."""
    _earlier: tuple[VehicleRecord, ...] = PrivateAttr(())
    _looks: Mapping[ValuePath, ValueSource] = PrivateAttr(default_factory=dict)

    @property
    def earlier(self) -> tuple[VehicleRecord, ...]:
        """The record as it was after each earlier day on which somebody looked at the vehicle, latest first."""
        return self._earlier

    @property
    def looks(self) -> Mapping[ValuePath, ValueSource]:
        """The look that stated each value, by path. Empty for a record without visits."""
        return self._looks

    def after(self, earlier: Sequence[VehicleRecord], looks: Mapping[ValuePath, ValueSource]) -> Self:
        """Return a copy that knows its earlier states and its looks. They are not part of its data or schema."""
        record = self.model_copy()
        record._earlier, record._looks = tuple(earlier), looks
        return record

    def first_look(self) -> ValueSource:
        """Return the day, odometer, person and gauges that `inspection` states."""
        inspection = self.inspection
        return ValueSource(inspection.done_on, inspection.at, inspection.by, inspection.gauges)

    def defects_ever(self) -> tuple[str, ...]:
        """Return the ids of all defects ever noted, the current ones first."""
        named = [path[1] for path in self._looks if path[0] == "defects" and len(path) > 1]
        return tuple(dict.fromkeys((*(defect.id for defect in self.defects), *named)))

    def photos_ever(self) -> frozenset[str]:
        """Return the files of all photos that any look named."""
        now = (*self.photos, *(photo for defect in self.defects for photo in defect.photos))
        named = (path[-1] for path in self._looks if len(path) > 1 and path[-2] == "photos")
        return frozenset((*(photo.file for photo in now), *named))

    def look_at(self, *names: str) -> ValueSource:
        """Return the latest look that stated a value under any of these names, such as `tires.left_front`.

        Without such a value, it is the first look.
        """
        return self.looks_at(*names)[-1]

    def _first_of_all(self) -> ValueSource:
        return self._looks.get(("stock",)) or self.first_look()

    def looks_at(self, *names: str) -> tuple[ValueSource, ...]:
        """Return every look that stated a current value under any of these names, in their order."""
        parts = [tuple(name.split(".")) for name in names]
        found = {
            look.number: look
            for path, look in self._looks.items()
            if any(path[: len(part)] == part for part in parts)
        }
        return tuple(found[number] for number in sorted(found)) or (self._first_of_all(),)


RESERVED = re.compile("con|prn|aux|nul|com[0-9]|lpt[0-9]", re.ASCII | re.IGNORECASE)
"""Names that some systems reserve for devices (common practice). No folder can have them there."""


class PublishedKind(StrEnum):
    """Kind of change that the page announces without an event in `history`."""

    PRICE = "price"
    STATUS = "status"
    PHOTOS = "photos"


@dataclass(frozen=True)
class PublishedChange:
    """A change of price, status or photos, found by comparison with what was published before."""

    on: date
    kind: PublishedKind
    old: str
    new: str
    """Price as a plain number, status as the record's word, or the number of new photos (`old` is then empty)."""


def is_put_right(record: VehicleRecord, about: str) -> bool:
    """Return whether any work repaired a finding, or an event in `history` corrects it.

    `about` is the path of the finding, such as `defects.sill-rust`.
    """
    repaired = {name for work in record.work_done for name in _repaired_by(work)}
    return about in repaired | {name for event in record.history for name in event.about}


def check_result(check: Check | None) -> CheckResult:
    """Return the result of a check. A missing check counts as not checked."""
    if check is None:
        return CheckResult.NOT_CHECKED
    return check.finding if isinstance(check, CheckNote) else check


def _repaired_by(work: object) -> set[str]:
    settles, renews = getattr(work, "settles", ()), getattr(work, "renews", ())
    return {*(f"defects.{defect}" for defect in settles), *renews}
