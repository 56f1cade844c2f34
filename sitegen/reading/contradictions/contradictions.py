"""Find values of a record that cannot both be true. Each problem names both places."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.tree import KeyPath, format_path
from sitegen.records.disclosure import Affects, CheckResult, LeftAsItIs
from sitegen.records.problems import Problem, Severity
from sitegen.records.quantities import Depth
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord, check_result
from sitegen.records.visits.answers import settled_by_work, settling

GREW_FROM_MILLIMETRES = 1
"""From this increase on, tread or lining is another part, or one reading is wrong.

One step of a gauge in 32nds of an inch is 0.8 mm (common practice).
"""


def check_contradictions(sheet: Sheet) -> Iterator[Problem]:
    """Yield a problem for each pair of values that contradict each other."""
    yield from _good_beside_a_defect(sheet)
    yield from _good_beside_a_promise(sheet)
    yield from _good_again(sheet)
    yield from _repaired_and_standing(sheet)
    yield from _grew(sheet)


def _place(sheet: Sheet, path: KeyPath) -> str:
    """Return a place in the words of a problem at another place."""
    marks, own_path = sheet.marks.located(path)
    line = marks.value_place(own_path).line
    where = f"on line {line}" if marks.file == sheet.marks.file else f"in {marks.file}:{line}"
    return f"{format_path(own_path)} {where}"


def _good_beside_a_defect(sheet: Sheet) -> Iterator[Problem]:
    """Yield a problem for each check that is good although a defect at its point affects more than looks."""
    record = sheet.record
    settled = settled_by_work(record)
    for number, defect in enumerate(record.defects):
        if defect.affects is Affects.LOOKS or defect.id in settled:
            continue
        for point in sheet.standards.vocabulary.points_named(defect.where.part):
            if check_result(record.checks.get(point)) is CheckResult.GOOD:
                other = _place(sheet, ("defects", number, "id"))
                found = f"good, beside the defect {defect.id} ({other})"
                mend = f"write attention, with defect: {defect.id}, or correct the defect"
                yield sheet.marks.problem(
                    ("checks", point), "a check that agrees with the defects", mend, found=found
                )


def _good_beside_a_promise(sheet: Sheet) -> Iterator[Problem]:
    """Yield a problem for each check that is good although a promise will repair the part that it covers."""
    record = sheet.record
    for number, promise in enumerate(record.before_delivery):
        for place, name in enumerate(promise.renews):
            kind, _, point = name.partition(".")
            if kind == "checks" and check_result(record.checks.get(point)) is CheckResult.GOOD:
                other = _place(sheet, ("before_delivery", number, "renews", place))
                found = f"good, though a promise repairs it ({other})"
                mend = "write attention until the work is done, or move the promise to work_done"
                yield sheet.marks.problem(
                    ("checks", point), "a check that agrees with what is promised", mend, found=found
                )


def _good_again(sheet: Sheet) -> Iterator[Problem]:
    """Yield a warning for each check that needed attention before and is good now without work in between."""
    record = sheet.record
    if not record.earlier:
        return
    before = record.earlier[0]
    done = {name for work in record.work_done for name in work.renews}
    settled = {name for work in record.work_done for name in work.settles}
    corrected = {name for event in record.history for name in event.about}
    for point, check in record.checks.items():
        was = before.checks.get(point)
        names_repaired = getattr(was, "defect", None) in settled
        is_same = check_result(check) is not CheckResult.GOOD or check_result(was) is not CheckResult.ATTENTION
        if is_same or names_repaired or f"checks.{point}" in done | corrected:
            continue
        on = before.look_at(f"checks.{point}").on
        found = f"good, though it needed attention on {on} (checks.{point} of that day)"
        mend = f"name the work in work_done, with renews: [checks.{point}], or say in history what became of it"
        expected = "work between a check that needed attention and one that is good"
        yield sheet.marks.problem(("checks", point), expected, mend, found=found, severity=Severity.WARNING)


def _repaired_and_standing(sheet: Sheet) -> Iterator[Problem]:
    """Yield each defect that work has repaired and that the record also leaves open, or promises to repair."""
    record = sheet.record
    settled = {
        defect: ("work_done", number, "settles", place)
        for number, work in enumerate(record.work_done)
        for place, defect in enumerate(work.settles)
        if work in settling(record, defect)
    }
    for number, defect in enumerate(record.defects):
        if defect.id in settled and defect.done == LeftAsItIs.LEFT:
            found = f"{defect.id} left as it is, though work repaired it ({_place(sheet, settled[defect.id])})"
            mend = "delete `done: left as it is`, or take the defect out of `settles`"
            yield sheet.marks.problem(("defects", number, "done"), "one of the two", mend, found=found)
    for number, promise in enumerate(record.before_delivery):
        for place, defect_id in enumerate(promise.settles):
            if defect_id in settled:
                found = f"{defect_id}, which work has repaired already ({_place(sheet, settled[defect_id])})"
                mend = "delete the promise, or take the defect out of the work"
                path: KeyPath = ("before_delivery", number, "settles", place)
                yield sheet.marks.problem(path, "a defect that still stands", mend, found=found)


def _grew(sheet: Sheet) -> Iterator[Problem]:
    """Yield a warning for each tread or lining that is deeper than before although nothing renewed the part."""
    record = sheet.record
    if not record.earlier:
        return
    before = record.earlier[0]
    renewed = {name for work in record.work_done for name in work.renews}
    rotated = any(service.service == "tire_rotation" for service in record.services)
    rotated = rotated or any("tire_rotation" in name for name in renewed)
    for group, read in _READ.items():
        for wheel in record.tires.on_the_ground:
            was, now = read(before, wheel), read(record, wheel)
            part = f"{group}.{wheel}"
            is_renewed = group in renewed or part in renewed or (group == "tires" and rotated)
            if was is None or now is None or is_renewed or _is_another(before, record, group, wheel):
                continue
            if now.millimetres - was.millimetres >= GREW_FROM_MILLIMETRES:
                on = before.look_at(part).on
                found = f"{now.written}, though it was {was.written} on {on} ({part} of that day)"
                mend = f"correct the figure that is wrong, or name the work in work_done, with renews: [{part}]"
                expected = "no more than at the inspection before"
                yield sheet.marks.problem(
                    (group, wheel.value), expected, mend, found=found, severity=Severity.WARNING
                )


def _tread(record: VehicleRecord, wheel: Wheel) -> Depth | None:
    tire = record.tires.at(wheel)
    return tire.tread.lowest() if tire is not None and tire.tread is not None else None


def _lining(record: VehicleRecord, wheel: Wheel) -> Depth | None:
    brake = record.brakes.at(wheel)
    return min(brake.linings().values(), default=None) if brake is not None else None


_READ: dict[str, Callable[[VehicleRecord, Wheel], Depth | None]] = {"tires": _tread, "brakes": _lining}


def _is_another(before: VehicleRecord, now: VehicleRecord, group: str, wheel: Wheel) -> bool:
    """Return whether the records show that the wheel's tire or brake was replaced between two looks.

    A brake that either look did not record counts as replaced.
    """
    if group == "tires":
        pair = before.tires.at(wheel), now.tires.at(wheel)
        return pair[0] is not None and pair[1] is not None and pair[0].date_code != pair[1].date_code
    brakes = before.brakes.at(wheel), now.brakes.at(wheel)
    if brakes[0] is None or brakes[1] is None or brakes[0].kind != brakes[1].kind:
        return True
    return brakes[0].fitted_on != brakes[1].fitted_on or brakes[0].fitted_at != brakes[1].fitted_at
