"""Work that the store offers to do before delivery, and which lines of the outlook it answers."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.checks import settled_defects
from sitegen.condition.basis.forecast import Offer
from sitegen.condition.services.called_for import Call, call_for
from sitegen.records.disclosure import CheckResult, Defect
from sitegen.records.figures import Figures
from sitegen.records.vehicle_record import VehicleRecord


def offers(record: VehicleRecord, figures: Figures) -> tuple[Offer, ...]:
    """Return an `Offer` for each quote of the record: outlook lines first, then defects that are not repaired."""
    lines = (Offer(key, False, int(offer.quote * 100), (key,)) for key, offer in record.outlook.items())
    return (*lines, *_for_defects(record, figures))


def _for_defects(record: VehicleRecord, figures: Figures) -> Iterator[Offer]:
    settled = settled_defects(record)
    for defect in record.defects:
        if defect.quote is not None and defect.id not in settled:
            yield Offer(defect.id, True, int(defect.quote * 100), tuple(_answered(record, defect, figures)))


def _answered(record: VehicleRecord, defect: Defect, figures: Figures) -> Iterator[str]:
    """Yield the services that are due because of this defect alone, so that no sum counts its repair twice."""
    rest = tuple(other for other in record.defects if other.id != defect.id)
    points = {
        point: CheckResult.GOOD if getattr(check, "defect", None) == defect.id else check
        for point, check in record.checks.items()
    }
    without = record.model_copy(update={"defects": rest, "checks": points})
    for service in (*figures.intervals.looked_at, *figures.intervals.by_check):
        is_due = call_for(record, service, figures) >= Call.MAYBE
        if is_due and call_for(without, service, figures) < Call.MAYBE:
            yield service
