"""The record of one vehicle (`inspection.yaml`), its published changes, and open findings of earlier inspections."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
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
from sitegen.records.money.buying import LineOffer
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
from sitegen.records.walk_around import WalkAround
from sitegen.records.wear import (
    Battery,
    BrakeFluid,
    Brakes,
    Coolant,
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
    walk_around: WalkAround | None = None
    history: tuple[Event, ...] = ()
    """Changes on the page after it was first published, with their reason."""
    notes: LocalizedText | None = None
    """Further notes, as Markdown."""
    _earlier: tuple[VehicleRecord, ...] = PrivateAttr(())

    @property
    def earlier(self) -> tuple[VehicleRecord, ...]:
        """Records of earlier inspections, each complete, latest first."""
        return self._earlier

    def after(self, earlier: Iterable[VehicleRecord]) -> Self:
        """Return a copy of this record with earlier inspections attached. They are not part of its data or schema."""
        record = self.model_copy()
        record._earlier = tuple(sorted(earlier, key=lambda inspected: inspected.inspection.done_on, reverse=True))
        return record


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


# Findings of earlier inspections stay open until work repairs them, an event in `history` corrects them, or a later
# inspection looks at the same point again.


@dataclass(frozen=True)
class NotedBefore:
    """An open finding of an earlier inspection: a defect, or a check point that needs attention."""

    on: date
    """Day of the latest inspection that noted it."""
    about: str
    """Its path in the record, as used by `history`: `defects.sill-rust`, `checks.wipers_and_washers`."""
    defect: Defect | None = None
    point: str | None = None


def not_looked_at_again(record: VehicleRecord) -> tuple[NotedBefore, ...]:
    """Return the open findings of earlier inspections that this record does not mention, latest inspection first."""
    return (*_defects(record), *_checks(record))


def is_put_right(record: VehicleRecord, about: str) -> bool:
    """Return whether any work repaired a finding, or an event in `history` corrects it.

    `about` is the path of the finding, such as `defects.sill-rust`.
    """
    repaired = {name for each in (record, *record.earlier) for work in each.work_done for name in _repaired_by(work)}
    return about in repaired | {name for event in record.history for name in event.about}


def work_answering(record: VehicleRecord, noted: VehicleRecord) -> tuple[Work, ...]:
    """Return the work that can have repaired the findings of one inspection: work on its day or later.

    `noted` is the record or one of its earlier inspections. Work that the first inspection itself lists counts for
    that inspection whatever its date.
    """
    is_first = noted is (record.earlier[-1] if record.earlier else record)
    works = (work for each in (record, *record.earlier) for work in each.work_done)
    return tuple(
        work for work in works if work.on >= noted.inspection.done_on or (is_first and work in noted.work_done)
    )


def check_result(check: Check | None) -> CheckResult:
    """Return the result of a check. A missing check counts as not checked."""
    if check is None:
        return CheckResult.NOT_CHECKED
    return check.finding if isinstance(check, CheckNote) else check


def _repaired_by(work: object) -> set[str]:
    settles, renews = getattr(work, "settles", ()), getattr(work, "renews", ())
    return {*(f"defects.{defect}" for defect in settles), *renews}


def _defects(record: VehicleRecord) -> Iterator[NotedBefore]:
    listed_ids = {defect.id for defect in record.defects}
    for earlier in record.earlier:
        for defect in earlier.defects:
            about = f"defects.{defect.id}"
            if defect.id not in listed_ids and not is_put_right(record, about):
                yield NotedBefore(earlier.inspection.done_on, about, defect=defect)
            listed_ids.add(defect.id)


def _checks(record: VehicleRecord) -> Iterator[NotedBefore]:
    checked_points = {
        point for point, check in record.checks.items() if check_result(check) is not CheckResult.NOT_CHECKED
    }
    for earlier in record.earlier:
        for point, check in earlier.checks.items():
            result, about = check_result(check), f"checks.{point}"
            names_defect = isinstance(check, CheckNote) and check.defect is not None  # the defect is an open finding
            is_open = (
                result is CheckResult.ATTENTION and not names_defect and not _is_answered(record, earlier, about)
            )
            if is_open and point not in checked_points:
                yield NotedBefore(earlier.inspection.done_on, about, point=point)
            if result is not CheckResult.NOT_CHECKED:
                checked_points.add(point)


def _is_answered(record: VehicleRecord, noted: VehicleRecord, about: str) -> bool:
    """Return whether later work or a later event in `history` answers a check result of an earlier inspection."""
    corrected = {name for event in record.history if event.on >= noted.inspection.done_on for name in event.about}
    return about in corrected or any(about in work.renews for work in work_answering(record, noted))
