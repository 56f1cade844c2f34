"""Convert whole inspections of a vehicle into its first inspection and visits. Pure.

Every value that a later inspection states becomes a value of its visit. A defect that it does not list any more was
put right if work settles it, and was not found if an event in `history` names it. Otherwise it stays as it was.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from sitegen.records.disclosure import CheckResult, Defect
from sitegen.records.vehicle_record import VehicleRecord, check_result
from sitegen.records.visits.current import current_record
from sitegen.records.visits.visit import NEVER_IN_A_VISIT, VISIT, DefectNow, Visit

Plain = dict[str, Any]


def converted(newest: VehicleRecord, earlier: Sequence[VehicleRecord]) -> tuple[VehicleRecord, dict[str, Visit]]:
    """Return the first inspection, and the visits by file name, of a vehicle that was inspected several times.

    The first inspection gets the current stock number. Visits are named by their day: `2026-10-15`.
    """
    inspections = sorted((*earlier, newest), key=lambda record: record.inspection.done_on)
    first = inspections[0].model_copy(update={"stock": newest.stock})
    visits: dict[str, Visit] = {}
    for record in inspections[1:]:
        before = current_record(first, visits).record
        visits[record.inspection.done_on.isoformat()] = visit_of(record, before)
    return first, visits


def as_plain(visit: Visit) -> Plain:
    """Return a visit as plain values, with the keys that it states, ready to be written to its file."""
    return visit.model_dump(mode="json", exclude_unset=True)


def visit_of(record: VehicleRecord, before: VehicleRecord, without: Collection[str] = ()) -> Visit:
    """Return the visit that states all of a whole inspection, except some keys. `before` is the record before it.

    A check point that the inspection did not check keeps its earlier result.
    """
    known = dict.fromkeys(before.defects_ever()) | {defect.id: defect for defect in before.defects}
    inspection = record.inspection
    values = record.model_dump(mode="json", exclude_unset=True, exclude={*NEVER_IN_A_VISIT, *without})
    if "checks" in values:
        values["checks"] = {
            point: check
            for point, check in values["checks"].items()
            if point not in before.checks or check_result(record.checks[point]) is not CheckResult.NOT_CHECKED
        }
    head: Plain = {"on": inspection.done_on.isoformat()}
    if inspection.at is not None:
        head["at"] = inspection.at.written
    stated = inspection.model_dump(mode="json", exclude_unset=True)
    head.update({key: stated[key] for key in ("by", "gauges") if stated.get(key) is not None})
    defects = [*_listed(record, known), *_gone(record, known)]
    if defects or record.states("defects"):
        values["defects"] = defects
    return VISIT.model_validate_json(json.dumps({**head, **values}), strict=True)


def _listed(record: VehicleRecord, known: Mapping[str, Defect | None]) -> Iterator[Plain]:
    """Yield the defects that an inspection lists, those that are known with their state."""
    for defect in record.defects:
        plain = defect.model_dump(mode="json", exclude_unset=True)
        if defect.id in known:
            sizes = getattr(known[defect.id], "size", None), defect.size
            grew = sizes[0] is not None and sizes[1] is not None and sizes[1] > sizes[0]
            plain["now"] = DefectNow.WORSE if grew else DefectNow.SAME
        yield plain


def _gone(record: VehicleRecord, known: Mapping[str, Defect | None]) -> Iterator[Plain]:
    """Yield the known defects that an inspection does not list, as far as it says what became of them."""
    listed = {defect.id for defect in record.defects}
    settled = {name for work in record.work_done for name in work.settles}
    reasons = {name: event.model_dump(mode="json")["what"] for event in record.history for name in event.about}
    for name, before in known.items():
        if name in listed or before is None:
            continue
        if name in settled:
            yield {"id": name, "now": DefectNow.PUT_RIGHT}
        elif f"defects.{name}" in reasons:
            yield {"id": name, "now": DefectNow.NOT_FOUND, "reason": reasons[f"defects.{name}"]}
