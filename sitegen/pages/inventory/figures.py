"""The figures that vehicles are filtered and sorted by: plain numbers, in the units that the pages show."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.basis.findings import BrakeFinding, Condition, TireFinding, UseFinding
from sitegen.pages.language.formats import Formats
from sitegen.pages.vehicle.buying.costs import buying_totals
from sitegen.pages.vehicle.defects.standing import count_by_effect
from sitegen.records.disclosure import Affects
from sitegen.records.quantities import METRES_PER_MILE, Depth, Distance
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Upkeep:
    """The cost of the priced items of the first year, in whole currency, rounded as the page shows it."""

    due: int
    """The figure to plan with for items that fall due."""
    due_low: int
    due_high: int
    no_record: int
    """The cost of the items without a record, if all are done now."""
    no_record_low: int
    no_record_high: int
    total: int
    total_low: int
    total_high: int
    """The high end of both together. Filters and sorting use it, since it never falls when less was measured."""
    not_priced: tuple[str, ...]
    """Keys of items that are in no sum, since they have no price."""


@dataclass(frozen=True)
class InventoryFigures:
    """The figures that filters compare. None means not measured, not stated or not known, and matches no filter."""

    distance: int | None
    """Odometer reading, in whole miles or kilometers."""
    a_year: int | None
    """Average distance driven in a year so far, in the same unit."""
    tread: float | None
    """Lowest tread of the wheels on the ground, in 32nds of an inch or in millimeters."""
    lining: float | None
    """Thinnest lining, in millimeters."""
    standing: dict[Affects, int]
    """Number of open standing facts (not repaired, and no repair promised before delivery), by effect."""
    upkeep: Upkeep | None
    """First-year upkeep; None if the store has no price for anything that this vehicle may need."""
    in_all: int | None = None
    """Price, fees, title and first-year upkeep, in whole currency, as the page has it with nothing ticked."""
    in_all_three_years: int | None = None


def inventory_figures(
    record: VehicleRecord, condition: Condition, settings: SiteSettings, formats: Formats
) -> InventoryFigures:
    """Return a vehicle's figures. Depths are rounded down, so that a filter for 5/32 in does not match 4.9/32 in."""
    tires = [tire.lowest for tire in condition.of(TireFinding) if tire.wheel is not Wheel.SPARE and tire.lowest]
    linings = [brake.thinnest for brake in condition.of(BrakeFinding) if brake.thinnest]
    totals = buying_totals(record, condition, settings)
    in_all, in_three = (totals.with_first_year, totals.with_three_years) if totals else (None, None)
    use = next(iter(condition.of(UseFinding)), None)
    return InventoryFigures(
        distance=_whole_distance(record.odometer.reading, formats),
        a_year=_whole_distance(use.a_year if use else None, formats),
        tread=_tread(min(tires), formats) if tires else None,
        lining=_rounded_down(min(linings).millimetres) if linings else None,
        standing=count_by_effect(condition),
        upkeep=first_year_upkeep(condition),
        in_all=None if in_all is None else in_all // 100,
        in_all_three_years=None if in_three is None else in_three // 100,
    )


def first_year_upkeep(condition: Condition) -> Upkeep | None:
    """Return what the first year may cost, in whole currency; None if nothing has a price."""
    if not any(line.facts.cost for line in condition.lines):
        return None
    outlook = condition.outlook
    due, no_record, total = outlook.first_year.due, outlook.no_record, outlook.first_year.total
    return Upkeep(
        due=due.about // 100,
        due_low=due.low // 100,
        due_high=due.high // 100,
        no_record=no_record.about // 100,
        no_record_low=no_record.low // 100,
        no_record_high=no_record.high // 100,
        total=total.about // 100,
        total_low=total.low // 100,
        total_high=total.high // 100,
        not_priced=outlook.named.not_priced,
    )


def _whole_distance(distance: Distance | None, formats: Formats) -> int | None:
    unit = METRES_PER_MILE if formats.distance_in_miles else Fraction(1000)
    return None if distance is None else math.floor(distance.metres / unit)


def _tread(depth: Depth, formats: Formats) -> float:
    return _rounded_down(depth.thirty_seconds if formats.tread_in_thirty_seconds else depth.millimetres)


def _rounded_down(value: Fraction) -> float:
    return math.floor(value * 100) / 100
