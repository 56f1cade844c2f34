"""What a check of the walk-around found at one point."""

from __future__ import annotations

from sitegen.records.disclosure import CheckNote, CheckResult
from sitegen.records.vehicle_record import VehicleRecord


def found_at(record: VehicleRecord, point: str) -> CheckResult:
    """Return what a check found; a point that the record does not name was not checked."""
    check = record.checks.get(point, CheckResult.NOT_CHECKED)
    return check.finding if isinstance(check, CheckNote) else check


def settled_defects(record: VehicleRecord) -> set[str]:
    """Return the ids of defects that work has put right, or will before delivery."""
    done = {defect for work in record.work_done for defect in work.settles}
    return done | {defect for promise in record.before_delivery for defect in promise.settles}
