"""The result of each check point, from the record's checks and from defects that name the point."""

from __future__ import annotations

from collections.abc import Mapping

from sitegen.records.disclosure import WALK_ORDER, CheckNote, CheckResult, Defect
from sitegen.records.reference import CheckPoint, Vocabulary
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.answers import settled_by_work, work_since


def applicable_points(record: VehicleRecord, vocabulary: Vocabulary) -> Mapping[str, CheckPoint]:
    """Return the check points that apply to this vehicle, in walk order, and any other that the record has."""
    vehicle = record.vehicle
    traits = {str(vehicle.fuel), str(vehicle.drive), str(vehicle.body)}
    points = {
        key: point
        for key, point in vocabulary.check_points.items()
        if point.applies_to(traits) or key in record.checks
    }
    return dict(sorted(points.items(), key=lambda item: WALK_ORDER[item[1].station]))


def found_at(record: VehicleRecord, point: str, vocabulary: Vocabulary) -> CheckResult:
    """Return the result of a check point.

    A point that the record does not list was not checked, unless a defect names it: a cracked mirror among the
    defects shows that the mirrors were looked at and need attention.
    """
    check = written_check(record, point).finding
    if check is CheckResult.NOT_CHECKED and any(point in points_of(defect, vocabulary) for defect in record.defects):
        return CheckResult.ATTENTION
    return check


def written_check(record: VehicleRecord, point: str) -> CheckNote:
    """Return the record's own check of a point, with its note if it has one.

    A point without a check counts as not checked.
    """
    check = record.checks.get(point, CheckResult.NOT_CHECKED)
    return _WITHOUT_A_NOTE[check] if isinstance(check, CheckResult) else check


_WITHOUT_A_NOTE = {finding: CheckNote(finding=finding) for finding in CheckResult}


def points_of(defect: Defect, vocabulary: Vocabulary) -> frozenset[str]:
    """Return the check points that the name of a defect's part refers to."""
    return vocabulary.points_named(defect.where.part)


def settled_defects(record: VehicleRecord) -> frozenset[str]:
    """Return the ids of defects that work has repaired, or that a promise before delivery will."""
    return settled_by_work(record) | {defect for promise in record.before_delivery for defect in promise.settles}


def is_answered(record: VehicleRecord, point: str) -> bool:
    """Return whether work has repaired the finding of a point's check, or a promise says that it will."""
    renewed = {part for work in work_since(record, f"checks.{point}") for part in work.renews}
    promised = {part for promise in record.before_delivery for part in promise.renews}
    by_name = f"checks.{point}" in renewed | promised
    return by_name or written_check(record, point).defect in settled_defects(record)


def was_looked_at(record: VehicleRecord, vocabulary: Vocabulary) -> bool:
    """Return whether the record has a check of any point, or a defect."""
    seen = (CheckResult.GOOD, CheckResult.ATTENTION)
    points = applicable_points(record, vocabulary)
    return bool(record.defects) or any(found_at(record, point, vocabulary) in seen for point in points)
