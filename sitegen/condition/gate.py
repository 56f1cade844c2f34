"""Whether the page may go out: what is below an inspection figure or affects safety waits for the store's word.

The figures are a model for inspections, and the local rule decides. So the page says "below the inspection figure",
and what the store will do about it comes first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.condition.basis.checks import written_check
from sitegen.condition.basis.findings import Gate, Hold
from sitegen.condition.basis.values import Said, Word
from sitegen.records.disclosure import Affects, CheckResult, Promise
from sitegen.records.figures import Figures
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord, check_result, not_looked_at_again, work_answering


def gate(record: VehicleRecord, holds: Sequence[Hold], figures: Figures) -> Gate:
    """Return whether the page may be published, what holds it, and what it must say first.

    A sold vehicle is offered to nobody, so its page stays. One sold for parts or off-road use may be published, and
    says so first.
    """
    found = (
        *holds,
        *_safety_checks(record, figures),
        *_safety_defects(record, figures),
        *_not_again(record, figures),
    )
    held = tuple(hold for hold in found if not _promises_for(hold, record))
    may_publish = not held or record.not_for_road_use or record.status is Status.SOLD
    first = [Said("gate.not_for_road_use")] if record.not_for_road_use else []
    return Gate(
        may_publish=may_publish,
        holding=() if may_publish else held,
        first_words=(*first, *_first_words(record, found)),
    )


def _safety_checks(record: VehicleRecord, figures: Figures) -> Iterator[Hold]:
    """Hold what a check found at a point that concerns safety, as a figure below the limit holds.

    Where the check names a defect, the defect says what it affects; one of looks alone holds nothing.
    """
    affects = {defect.id: defect.affects for defect in record.defects}
    done = {part for work in work_answering(record, record) for part in work.renews}
    done |= {defect for work in record.work_done for defect in work.settles}
    for point, known in figures.vocabulary.check_points.items():
        if not known.safety or check_result(record.checks.get(point)) is not CheckResult.ATTENTION:
            continue
        check = written_check(record, point)
        # A defect that affects safety holds by itself, and is told once.
        settled_by = tuple(Affects) if known.defect_decides else (Affects.LOOKS, Affects.SAFETY)
        is_told = check.defect is not None and affects.get(check.defect) in settled_by
        if not is_told and not done & {f"checks.{point}", check.defect}:
            yield Hold(("checks", point), Said("gate.check", {"point": Word(f"point.{point}")}))


def _safety_defects(record: VehicleRecord, figures: Figures) -> Iterator[Hold]:
    """Hold what affects safety by the record's word, or by its kind ends the life of a tire."""
    done = {defect for work in record.work_done for defect in work.settles}
    for place, defect in enumerate(record.defects):
        if defect.id in done:
            continue
        if defect.affects is Affects.SAFETY:
            yield Hold(("defects", place, "affects"), Said("gate.safety_defect", {"words": defect.words}))
        elif defect.kind in figures.tires.ends_life:
            yield Hold(("defects", place, "kind"), Said("gate.tire_ended", {"words": defect.words}))


def _not_again(record: VehicleRecord, figures: Figures) -> Iterator[Hold]:
    """Hold what affected safety at an earlier inspection, and nobody looked at again: silence mends nothing."""
    for noted in not_looked_at_again(record):
        defect, point = noted.defect, noted.point
        if defect is not None and (defect.affects is Affects.SAFETY or defect.kind in figures.tires.ends_life):
            yield Hold(("defects", defect.id), Said("gate.safety_defect", {"words": defect.words}))
        known = figures.vocabulary.check_points.get(point) if point is not None else None
        if point is not None and known is not None and known.safety:
            yield Hold(("checks", point), Said("gate.check", {"point": Word(f"point.{point}")}))


def defect_held(hold: Hold, record: VehicleRecord) -> str:
    """Return the id of the defect that a hold is about: by its place in the record, or of an earlier inspection."""
    step = hold.path[1]
    return record.defects[step].id if isinstance(step, int) else step


def _promises_for(hold: Hold, record: VehicleRecord) -> list[Promise]:
    """Return what the record promises about what a hold names: the part, what it belongs to, or the defect."""
    defect = None
    if hold.path[0] == "defects":
        defect = defect_held(hold, record)
    elif hold.path[0] == "checks":
        defect = written_check(record, str(hold.path[1])).defect
    if defect is not None:
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
