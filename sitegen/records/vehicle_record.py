"""The whole record of one vehicle: what `inspection.yaml` holds, and what earlier ones noted that it does not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
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
    _earlier: tuple[VehicleRecord, ...] = PrivateAttr(())

    @property
    def earlier(self) -> tuple[VehicleRecord, ...]:
        """The records of earlier inspections, each whole as it was then, the latest first."""
        return self._earlier

    def after(self, earlier: Iterable[VehicleRecord]) -> Self:
        """Return this record as one that follows others. They are no key of it: each stands in a file of its own."""
        record = self.model_copy()
        record._earlier = tuple(sorted(earlier, key=lambda one: one.inspection.done_on, reverse=True))
        return record


# What an earlier inspection noted and the record neither mentions nor answers: work that put it right is an answer,
# and so is a word in `history`. The latest inspection that looked at a thing decides.


@dataclass(frozen=True)
class NotedBefore:
    """A defect, or a check point that needed attention, of an earlier inspection."""

    on: date
    """The day of the latest inspection that noted it."""
    about: str
    """By which `history` speaks of it: `defects.sill-rust`, `checks.wipers_and_washers`."""
    defect: Defect | None = None
    point: str | None = None


def not_looked_at_again(record: VehicleRecord) -> tuple[NotedBefore, ...]:
    """Return the open findings of earlier inspections that this one says nothing of, the latest inspection first."""
    return (*_defects(record), *_checks(record))


def is_put_right(record: VehicleRecord, about: str) -> bool:
    """Tell whether work, of this record or an earlier, put a finding right, or `history` says what became of it.

    `about` names it as `history` does.
    """
    done = {name for each in (record, *record.earlier) for work in each.work_done for name in _answered_by(work)}
    return about in done | {name for event in record.history for name in event.about}


def work_answering(record: VehicleRecord, noted: VehicleRecord) -> tuple[Work, ...]:
    """Return the work that can answer what the checks of one inspection found: of its day or later.

    `noted` is the record or one of its earlier ones. What was done before the first inspection counts too, as its
    record tells it; work that was known when a later one found the same again answers that no more.
    """
    is_first = noted is (record.earlier[-1] if record.earlier else record)
    works = (work for each in (record, *record.earlier) for work in each.work_done)
    return tuple(
        work for work in works if work.on >= noted.inspection.done_on or (is_first and work in noted.work_done)
    )


def finding_of(check: Check | None) -> CheckResult:
    """Return what a check found; a point that is not there was not checked."""
    if check is None:
        return CheckResult.NOT_CHECKED
    return check.finding if isinstance(check, CheckNote) else check


def _answered_by(work: object) -> set[str]:
    settles, renews = getattr(work, "settles", ()), getattr(work, "renews", ())
    return {*(f"defects.{defect}" for defect in settles), *renews}


def _defects(record: VehicleRecord) -> Iterator[NotedBefore]:
    told = {defect.id for defect in record.defects}
    for earlier in record.earlier:
        for defect in earlier.defects:
            about = f"defects.{defect.id}"
            if defect.id not in told and not is_put_right(record, about):
                yield NotedBefore(earlier.inspection.done_on, about, defect=defect)
            told.add(defect.id)


def _checks(record: VehicleRecord) -> Iterator[NotedBefore]:
    looked_at = {point for point, check in record.checks.items() if finding_of(check) is not CheckResult.NOT_CHECKED}
    for earlier in record.earlier:
        for point, check in earlier.checks.items():
            found, about = finding_of(check), f"checks.{point}"
            is_of_defect = isinstance(check, CheckNote) and check.defect is not None  # which is told by itself
            is_open = found is CheckResult.ATTENTION and not is_of_defect and not _is_answered(record, earlier, about)
            if is_open and point not in looked_at:
                yield NotedBefore(earlier.inspection.done_on, about, point=point)
            if found is not CheckResult.NOT_CHECKED:
                looked_at.add(point)


def _is_answered(record: VehicleRecord, noted: VehicleRecord, about: str) -> bool:
    """Tell whether work since, or a word in `history` since, answers what a check of an earlier inspection found."""
    told = {name for event in record.history if event.on >= noted.inspection.done_on for name in event.about}
    return about in told or any(about in work.renews for work in work_answering(record, noted))
