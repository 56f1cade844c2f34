"""Judge the tests of brake fluid and coolant. Their intervals are judged in services/intervals.py."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from sitegen.condition.basis.findings import FluidFinding, Judged
from sitegen.condition.basis.remarks import renewal_remarks
from sitegen.condition.basis.renewals import renewal_of
from sitegen.condition.basis.values import Said, Value
from sitegen.records.figures import Figures, FluidFigures
from sitegen.records.quantities import Share
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import BrakeFluid


def judge_fluids(record: VehicleRecord, figures: Figures, _as_of: date) -> Judged:
    """Return the findings about brake fluid and coolant."""
    return Judged((_brake_fluid(record, figures.fluids), *_coolant(record)))


def moisture_says(moisture: Share | None, figures: FluidFigures) -> str | None:
    """Return good, plan or replace for the water in brake fluid. None if it was not tested.

    It is never given as a boiling point: the bands are common practice.
    """
    if moisture is None:
        return None
    if moisture >= figures.moisture.replace_from:
        return "replace"
    return "plan" if moisture >= figures.moisture.plan_from else "good"


def _brake_fluid(record: VehicleRecord, figures: FluidFigures) -> FluidFinding:
    renewal = renewal_of(record, "services.brake_fluid", "brake_fluid")
    done = renewal is not None and not renewal.promised
    fluid = record.brake_fluid or BrakeFluid()
    says = None if done else moisture_says(fluid.moisture, figures)
    return FluidFinding(
        grade=fluid.grade,
        moisture=fluid.moisture,
        freezes_at=None,
        replace=says == "replace",
        plan=says == "plan",
        remarks=(
            *renewal_remarks("brake_fluid", renewal),
            *(() if done else _moisture(fluid, says, figures)),
            *_boils(fluid),
            *_grade(fluid, figures),
        ),
    )


def _moisture(fluid: BrakeFluid, says: str | None, figures: FluidFigures) -> Iterator[Said]:
    if says is None or fluid.moisture is None:
        yield Said("brake_fluid.not_tested")
    else:
        bands: dict[str, Value] = {
            "moisture": fluid.moisture,
            "plan_from": figures.moisture.plan_from,
            "replace_from": figures.moisture.replace_from,
        }
        yield Said(f"brake_fluid.{says}", bands)


def _boils(fluid: BrakeFluid) -> Iterator[Said]:
    if fluid.boils_at is not None:
        yield Said("brake_fluid.boils_at", {"boils_at": fluid.boils_at})


def _grade(fluid: BrakeFluid, figures: FluidFigures) -> Iterator[Said]:
    if fluid.grade is not None and fluid.grade in figures.brake_fluid:
        known = figures.brake_fluid[fluid.grade]
        key = "brake_fluid.grade_silicone" if known.base == "silicone" else "brake_fluid.grade"
        yield Said(key, {"grade": fluid.grade.value, "dry": known.dry, "wet": known.wet})


def _coolant(record: VehicleRecord) -> Iterator[FluidFinding]:
    """Yield the finding about the coolant: its freezing point as read on the tester, or that it was not tested.

    Yield nothing for a record without coolant. The point is never computed from a mixing ratio.
    """
    if record.coolant is None:
        return
    freezes_at = record.coolant.freezes_at
    said = (
        Said("coolant.not_tested") if freezes_at is None else Said("coolant.freezes_at", {"freezes_at": freezes_at})
    )
    yield FluidFinding(None, None, freezes_at, replace=False, plan=False, remarks=(said,))
