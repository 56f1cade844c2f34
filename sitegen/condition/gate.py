"""Whether the page may go out: what is below an inspection figure or affects safety waits for the store's word.

The figures are a model for inspections, and the local rule decides. So the page says "below the inspection figure",
and what the store will do about it comes first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.condition.basis.findings import Gate, Hold
from sitegen.condition.basis.values import Said
from sitegen.records.disclosure import Affects, Promise
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord


def gate(record: VehicleRecord, holds: Sequence[Hold]) -> Gate:
    """Return whether the page may be published, what holds it, and what it must say first.

    A sold vehicle is offered to nobody, so its page stays. One sold for parts or off-road use may be published, and
    says so first.
    """
    found = (*holds, *_safety_defects(record))
    held = tuple(hold for hold in found if not _promises_for(hold, record))
    may_publish = not held or record.not_for_road_use or record.status is Status.SOLD
    first = [Said("gate.not_for_road_use")] if record.not_for_road_use else []
    return Gate(
        may_publish=may_publish,
        holding=() if may_publish else held,
        first_words=(*first, *_first_words(record, found)),
    )


def _safety_defects(record: VehicleRecord) -> Iterator[Hold]:
    done = {defect for work in record.work_done for defect in work.settles}
    for place, defect in enumerate(record.defects):
        if defect.affects is Affects.SAFETY and defect.id not in done:
            yield Hold(("defects", place, "affects"), Said("gate.safety_defect", {"words": defect.words}))


def _promises_for(hold: Hold, record: VehicleRecord) -> list[Promise]:
    """Return what the record promises about what a hold names: the part, what it belongs to, or the defect."""
    if hold.path[0] == "defects":
        defect = record.defects[int(hold.path[1])].id
        return [promise for promise in record.before_delivery if defect in promise.settles]
    return [
        promise
        for promise in record.before_delivery
        if any(hold.where == part or hold.where.startswith(f"{part}.") for part in promise.renews)
    ]


def _first_words(record: VehicleRecord, found: Sequence[Hold]) -> Iterator[Said]:
    """Say every hold that there is, whether promised or sold not for road use, each with the promise that answers
    it."""
    told: list[Promise] = []
    for hold in found:
        promises = _promises_for(hold, record)
        if not promises and not record.not_for_road_use:
            continue
        yield hold.said
        for promise in promises:
            if promise not in told:
                told.append(promise)
                yield Said("gate.before_delivery", {"what": promise.what})
