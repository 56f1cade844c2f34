"""Find since when a standing fact is known, and who noted it.

A look is the first inspection, or a visit at which somebody examined the vehicle.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from sitegen.records.disclosure import CheckResult
from sitegen.records.vehicle_record import VehicleRecord, check_result


def since(record: VehicleRecord, seen_on: date, has_it: Callable[[VehicleRecord], bool]) -> date:
    """Return the first day of the unbroken series of looks that noted something, which ends on `seen_on`."""
    day = seen_on
    for earlier in record.earlier:
        if not has_it(earlier):
            break
        day = min(day, earlier.inspection.done_on)
    return day


def had_defect(defect: str) -> Callable[[VehicleRecord], bool]:
    """Return a predicate: whether an inspection lists a defect."""
    return lambda record: any(one.id == defect for one in record.defects)


def had_attention(point: str) -> Callable[[VehicleRecord], bool]:
    """Return a predicate: whether an inspection found that a check point needs attention."""
    return lambda record: check_result(record.checks.get(point)) is CheckResult.ATTENTION


def noted(
    record: VehicleRecord, part: str = "inspection", has_it: Callable[[VehicleRecord], bool] = lambda _: False
) -> dict[str, Any]:
    """Return the fields of a fact about a part: known since when, when seen last, and by whom."""
    look = record.look_at(part)
    return {"since": since(record, look.on, has_it), "seen_on": look.on, "noted_by": look.by}
