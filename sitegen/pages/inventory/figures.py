"""The figures that vehicles are filtered and sorted by: plain numbers, in the units that the pages show."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sitegen.condition.basis.findings import BrakeFinding, Condition, TireFinding, UseFinding
from sitegen.condition.outlook.plan import plan_of
from sitegen.pages.language.formats import Formats
from sitegen.pages.vehicle.defects.defects import standing_defects
from sitegen.records.disclosure import Affects
from sitegen.records.quantities import METRES_PER_MILE, Depth, Distance
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Upkeep:
    """The cost of the priced items of the first year, in whole units of the currency."""

    least: int
    about: int | None
    """The figure to plan with, as the card shows it; None if the odometer reading is not reliable."""
    most: int


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
    """Number of standing defects (not repaired, and no repair promised before delivery), by effect."""
    upkeep: Upkeep | None
    """First-year upkeep; None if the store has no price for anything that this vehicle may need."""


def inventory_figures(record: VehicleRecord, condition: Condition, formats: Formats) -> InventoryFigures:
    """Return a vehicle's figures. Depths are rounded down, so that a filter for 5/32 in does not match 4.9/32 in."""
    standing = standing_defects(record)
    tires = [tire.lowest for tire in condition.of(TireFinding) if tire.wheel is not Wheel.SPARE and tire.lowest]
    linings = [brake.thinnest for brake in condition.of(BrakeFinding) if brake.thinnest]
    use = next(iter(condition.of(UseFinding)), None)
    return InventoryFigures(
        distance=_whole_distance(record.odometer.reading, formats),
        a_year=_whole_distance(use.a_year if use else None, formats),
        tread=_tread(min(tires), formats) if tires else None,
        lining=_rounded_down(min(linings).millimetres) if linings else None,
        standing={affects: sum(defect.affects is affects for defect in standing) for affects in Affects},
        upkeep=first_year_upkeep(condition),
    )


def first_year_upkeep(condition: Condition) -> Upkeep | None:
    """Return the first-year upkeep, with the range rounded outward to whole units of currency.

    Return None if nothing that the vehicle may need has a price.
    """
    if not any(line.facts.cost for line in condition.lines):
        return None
    year = condition.outlook.years[0]
    plan = plan_of(year)
    return Upkeep(year.least // 100, None if plan is None else plan.about // 100, -(-year.most // 100))


def _whole_distance(distance: Distance | None, formats: Formats) -> int | None:
    unit = METRES_PER_MILE if formats.distance_in_miles else Fraction(1000)
    return None if distance is None else math.floor(distance.metres / unit)


def _tread(depth: Depth, formats: Formats) -> float:
    return _rounded_down(depth.thirty_seconds if formats.tread_in_thirty_seconds else depth.millimetres)


def _rounded_down(value: Fraction) -> float:
    return math.floor(value * 100) / 100
