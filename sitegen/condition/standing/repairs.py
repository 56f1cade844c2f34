"""Decide whether work repairs a fault: it must name both the fault and a repair."""

from __future__ import annotations

from sitegen.condition.danger.matching import names_a_repair
from sitegen.records.disclosure import Promise, Work
from sitegen.records.figures import Figures
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.answers import settling, work_since


def is_repair(work: Work | Promise, figures: Figures) -> bool:
    """Return whether the words of work name a repair. "Wash and vacuum" does not."""
    return any(
        names_a_repair(text, lexicon)
        for text in work.what.versions.values()
        for lexicon in figures.lexicons.root.values()
    )


def repaired_defects(record: VehicleRecord, figures: Figures) -> frozenset[str]:
    """Return the ids of the defects that work has put right."""
    named = {defect for work in record.work_done for defect in work.settles}
    return frozenset(
        defect for defect in named if any(work.by or is_repair(work, figures) for work in settling(record, defect))
    )


def is_renewed_since(record: VehicleRecord, finding: str) -> bool:
    """Return whether work renewed a part since something was noted about it."""
    return any(finding in work.renews for work in work_since(record, finding))


def promises_about(
    record: VehicleRecord, figures: Figures, *, part: str | None = None, defect: str | None = None
) -> tuple[Promise, ...]:
    """Return the promises before delivery that name a part or a defect and say, in words too, how it is repaired."""
    return tuple(
        promise
        for promise in record.before_delivery
        if promise.by is not None
        and is_repair(promise, figures)
        and (
            (defect is not None and defect in promise.settles)
            or (part is not None and any(part == name or part.startswith(f"{name}.") for name in promise.renews))
        )
    )


def weak_promises_about(
    record: VehicleRecord, *, part: str | None = None, defect: str | None = None
) -> tuple[Promise, ...]:
    """Return the promises before delivery that name a part or a defect, even if their words name no repair."""
    return tuple(
        promise
        for promise in record.before_delivery
        if (defect is not None and defect in promise.settles)
        or (part is not None and any(part == name or part.startswith(f"{name}.") for name in promise.renews))
    )
