"""Find since when a fact stands, and who noted it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from sitegen.records.disclosure import CheckResult
from sitegen.records.vehicle_record import VehicleRecord, check_result


def since(record: VehicleRecord, has_it: Callable[[VehicleRecord], bool]) -> date:
    """Return the day of the first in the unbroken row of inspections, up to this one, that noted something."""
    day = record.inspection.done_on
    for earlier in record.earlier:
        if not has_it(earlier):
            break
        day = earlier.inspection.done_on
    return day


def had_defect(defect: str) -> Callable[[VehicleRecord], bool]:
    """Return a predicate: whether an inspection lists a defect."""
    return lambda record: any(one.id == defect for one in record.defects)


def had_attention(point: str) -> Callable[[VehicleRecord], bool]:
    """Return a predicate: whether an inspection found that a check point needs attention."""
    return lambda record: check_result(record.checks.get(point)) is CheckResult.ATTENTION


def noted(record: VehicleRecord, has_it: Callable[[VehicleRecord], bool] = lambda _: False) -> dict[str, Any]:
    """Return the fields of a fact for its first day, its last day, and who noted it."""
    return {
        "since": since(record, has_it),
        "seen_on": record.inspection.done_on,
        "noted_by": record.inspection.by,
    }
