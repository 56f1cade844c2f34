"""What do the figures mean? Every judge looks at one thing; this is the list of them, and the way through."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from sitegen.condition.findings import Condition, Gate, Judged, OutlookFacts
from sitegen.condition.outlook import outlook
from sitegen.records.figures import Figures
from sitegen.records.inspection import VehicleRecord
from sitegen.records.quantities import Distance
from sitegen.records.store import PriceList

Judge = Callable[[VehicleRecord, Figures, date], Judged]

JUDGES: tuple[Judge, ...] = ()


def judge(
    record: VehicleRecord,
    figures: Figures,
    prices: PriceList | None,  # noqa: ARG001
    miles_a_year: Distance,
    today: date,
) -> Condition:
    """Return what one vehicle's record means, as of a day, for somebody who drives so far a year."""
    judged = [look(record, figures, today) for look in JUDGES]
    facts = OutlookFacts(figures.region.units.distance, ())
    a_year = int(miles_a_year.miles)
    return Condition(
        as_of=today,
        findings=tuple(finding for part in judged for finding in part.findings),
        lines=(),
        facts=facts,
        outlook=outlook(facts, a_year),
        gate=Gate(True, (), ()),
    )
