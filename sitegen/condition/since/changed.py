"""Judge what changed since the previous look: figures, defects and checks. Pure.

A look is the first inspection, or a visit at which somebody examined the vehicle. A figure is compared only if both
looks measured it. A value that was not looked at again keeps its own day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from sitegen.condition.basis.findings import Judged, SinceFinding
from sitegen.condition.basis.values import Said, Tread, Value, Word
from sitegen.condition.since.same_part import is_another_tire
from sitegen.records.disclosure import CheckResult
from sitegen.records.figures import Figures
from sitegen.records.quantities import Distance
from sitegen.records.vehicle import ON_THE_GROUND, Wheel
from sitegen.records.vehicle_record import ValueSource, VehicleRecord, check_result

_LIKE_FIGURES = (
    ("battery", "tested", "since.battery"),
    ("brake_fluid", "moisture", "since.moisture"),
    ("coolant", "freezes_at", "since.coolant"),
    ("traction_battery", "state_of_health", "since.traction_battery"),
)


def judge_since(record: VehicleRecord, _figures: Figures, _as_of: date) -> Judged:
    """Return the changes since the previous look, or no finding if there was only one."""
    if not record.earlier:
        return Judged()
    before = record.earlier[0]
    pairs = [*_tires(before, record), *_brakes(before, record), *_tested(before, record)]
    looks = ((one, one.first_look()) for one in (before, record))
    finding = SinceFinding(
        on=before.inspection.done_on,
        driven=driven_between(*looks),
        changed=(
            *_defects(before, record),
            *_checks(before, record),
            *(said for said, is_same in pairs if not is_same),
        ),
        same=sum(is_same for _, is_same in pairs),
        earlier=tuple(one.inspection.done_on for one in record.earlier),
    )
    return Judged((finding,))


def driven_between(
    before: tuple[VehicleRecord, ValueSource], now: tuple[VehicleRecord, ValueSource]
) -> Distance | None:
    """Return the distance driven between two looks. None if a reading is missing or the later reading is lower."""
    was, reading = (look.at or record.odometer.reading for record, look in (before, now))
    if was is None or reading is None or reading < was:
        return None
    unit = reading.written.rpartition(" ")[2]
    metres = reading.metres - was.metres
    return Distance(metres, f"{float(metres / Distance.units[unit]):,.0f} {unit}")


def _is_measured_again(before: VehicleRecord, now: VehicleRecord, *parts: str) -> bool:
    return now.look_at(*parts).number > before.look_at(*parts).number or not now.looks


def _tires(before: VehicleRecord, now: VehicleRecord) -> Iterator[tuple[Said, bool]]:
    for wheel in now.tires.on_the_ground:
        tires = before.tires.at(wheel), now.tires.at(wheel)
        if tires[0] is None or tires[1] is None or tires[0].tread is None or tires[1].tread is None:
            continue
        if not _is_measured_again(before, now, f"tires.{wheel}.tread"):
            continue
        was, depth = tires[0].tread.lowest(), tires[1].tread.lowest()
        if was is None or depth is None:
            continue
        other = is_another_tire(tires[0], tires[1])
        words = _at(wheel) | {"now": Tread(depth), "was": Tread(was)}
        yield Said("since.other_tire" if other else "since.tire", words), was == depth and not other


def _brakes(before: VehicleRecord, now: VehicleRecord) -> Iterator[tuple[Said, bool]]:
    for wheel in ON_THE_GROUND:
        brakes = before.brakes.at(wheel), now.brakes.at(wheel)
        if brakes[0] is None or brakes[1] is None:
            continue
        was, depth = (min(brake.linings().values(), default=None) for brake in brakes if brake)
        again = _is_measured_again(before, now, f"brakes.{wheel}.pads", f"brakes.{wheel}.shoes")
        if was is not None and depth is not None and again:
            yield Said("since.lining", _at(wheel) | {"now": depth, "was": was}), was == depth


def _tested(before: VehicleRecord, now: VehicleRecord) -> Iterator[tuple[Said, bool]]:
    for group, key, message in _LIKE_FIGURES:
        groups = getattr(before, group), getattr(now, group)
        was, found = (getattr(one, key) if one is not None else None for one in groups)
        if was is not None and found is not None and _is_measured_again(before, now, f"{group}.{key}"):
            yield Said(message, {"now": found, "was": was}), was == found


def _defects(before: VehicleRecord, now: VehicleRecord) -> Iterator[Said]:
    old = {defect.id: defect for defect in before.defects}
    for defect in now.defects:
        was = old.get(defect.id)
        words: dict[str, Value] = {"words": defect.words}
        if was is None:
            if before.states("defects"):
                yield Said("since.new_defect", words)
        elif was.size is not None and defect.size is not None and was.size != defect.size:
            yield Said("since.size", words | {"now": defect.size, "was": was.size})
    listed = {defect.id for defect in now.defects}
    for name, gone in old.items():
        if name not in listed and any(name in work.settles for work in now.work_done):
            yield Said("since.put_right", {"words": gone.words})


def _checks(before: VehicleRecord, now: VehicleRecord) -> Iterator[Said]:
    for point, check in now.checks.items():
        was, found = check_result(before.checks.get(point)), check_result(check)
        words: Mapping[str, Value] = {"point": Word(f"point.{point}")}
        if was is CheckResult.GOOD and found is CheckResult.ATTENTION:
            yield Said("since.needs_attention", words)
        elif was is CheckResult.ATTENTION and found is CheckResult.GOOD:
            yield Said("since.good_now", words)


def _at(wheel: Wheel) -> dict[str, Value]:
    return {"wheel": Word(f"at_wheel.{wheel.value}")}
