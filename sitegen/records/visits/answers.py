"""Work that answers a finding: it was done after a look (an inspection or a visit) noted the finding. Pure."""

from __future__ import annotations

from sitegen.records.disclosure import Work
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import FIRST_LOOK
from sitegen.records.visits.values import name_of


def work_since(record: VehicleRecord, finding: str) -> tuple[Work, ...]:
    """Return the work that can have repaired a finding: work on the day of the look that noted it, or later.

    Work that the first look itself states counts for its findings whatever its date. `finding` is a path, such as
    `defects.sill-rust`.
    """
    noted = record.look_at(finding)
    return tuple(
        work
        for work in record.work_done
        if work.on >= noted.on or noted.visit == _stated_at(record, work) == FIRST_LOOK
    )


def settling(record: VehicleRecord, defect: str) -> tuple[Work, ...]:
    """Return the work that put a defect right and after which nobody noted the defect again."""
    return tuple(work for work in work_since(record, f"defects.{defect}") if defect in work.settles)


def settled_by_work(record: VehicleRecord) -> frozenset[str]:
    """Return the ids of the defects that work has put right."""
    named = {defect for work in record.work_done for defect in work.settles}
    return frozenset(defect for defect in named if settling(record, defect))


def _stated_at(record: VehicleRecord, work: Work) -> str:
    look = record.looks.get(("work_done", name_of("work_done", work)))
    return FIRST_LOOK if look is None else look.visit
