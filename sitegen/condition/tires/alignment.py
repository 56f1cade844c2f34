"""Judge whether the wheels need alignment: a tire wears on one side, and no check found the alignment good."""

from __future__ import annotations

from datetime import date

from sitegen.condition.basis.checks import found_at
from sitegen.condition.basis.findings import Judged, WearShape
from sitegen.condition.basis.forecast import ItemFacts, NeedFacts, OutlookLine
from sitegen.condition.basis.renewals import renewal_of
from sitegen.condition.basis.values import KnownBy, Said, WholeSpan
from sitegen.condition.tires.tires import wear_shape
from sitegen.records.disclosure import CheckResult
from sitegen.records.figures import Figures
from sitegen.records.vehicle_record import VehicleRecord


def judge_alignment(record: VehicleRecord, figures: Figures, _as_of: date) -> Judged:
    """Return an outlook line for alignment; none if it was found good or was set.

    With one-sided wear, or if its check needs attention, it may be due.
    """
    found = found_at(record, "wheel_alignment", figures.vocabulary)
    renewed = renewal_of(record, "services.wheel_alignment", "wheel_alignment") is not None
    tires = [record.tires.at(wheel) for wheel in record.tires.on_the_ground]
    shapes = {wear_shape(tire.tread, figures.tires.uneven_from.value) for tire in tires if tire is not None}
    one_sided = bool(shapes & {WearShape.OUTER_SIDE, WearShape.INNER_SIDE})
    if renewed or found is CheckResult.GOOD:
        return Judged()
    if one_sided or found is CheckResult.ATTENTION:
        why = "outlook.alignment.attention" if found is CheckResult.ATTENTION else "outlook.alignment.one_sided"
        days, known_by = WholeSpan(0, None), KnownBy.MEASURED
    else:
        why, days, known_by = "outlook.check.not_checked", None, KnownBy.NOT_KNOWN
    facts = ItemFacts("wheel_alignment", NeedFacts(None, days), worst=NeedFacts(None, WholeSpan(0, 0)))
    return Judged(lines=(OutlookLine(facts, known_by, (Said(why),), ("wheel_alignment",)),))
