"""The current record of a vehicle: its first inspection and its visits, folded in the order of their moments. Pure.

Each value lies in a stack under its path. A visit pushes the values that it states and touches nothing else, so a
value that no visit mentions stays. The newest value of each stack is the current one; those below are its history.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Final

from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import Event, Work
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import ValuePath, ValueSource, VehicleRecord
from sitegen.records.visits.values import is_list, is_of_part, name_of, unit_of, values_of
from sitegen.records.visits.visit import DefectAtVisit, DefectNow, Visit

FIRST_LOOK: Final = ""
"""Name of the first inspection among the visits."""
LOOKED_AT = (
    "tires", "brakes", "brake_fluid", "coolant", "battery", "traction_battery", "paint", "checks", "defects",
)  # fmt: skip
"""A visit with any of these keys is a look at the vehicle. Its day and person become those of `inspection`."""


_DAY_OF_FIGURES = {
    "battery": ("tested_on", "tested", "rest_voltage"),
    "brake_fluid": ("tested_on", "moisture"),
    "coolant": ("tested_on", "freezes_at"),
    "traction_battery": ("measured_on", "state_of_health", "range_at_full"),
}
"""The key that holds the day of a group's figures, and the keys of those figures."""


@dataclass(frozen=True)
class Stated:
    """One value as stated at one look (the first inspection or a visit).

    `ended` marks that the part was renewed since.
    """

    value: Any
    source: ValueSource
    ended: bool = False


@dataclass(frozen=True)
class EndedDefect:
    """A defect that is no longer current: it was put right, or was not found any more."""

    id: str
    now: DefectNow
    source: ValueSource


@dataclass(frozen=True)
class Current:
    """The current record, and the source of each of its values."""

    record: VehicleRecord
    stacks: Mapping[ValuePath, tuple[Stated, ...]]
    """Every value ever stated and not withdrawn, oldest first, by path."""
    ended_defects: tuple[EndedDefect, ...] = ()
    unknown_withdrawals: tuple[tuple[str, str], ...] = ()
    """Pairs of a visit's name and a path that it withdraws, but that no earlier visit stated."""

    def source_of(self, path: ValuePath) -> ValueSource | None:
        """Return the look that stated the current value at a path, or None if there is no value."""
        stack = self.stacks.get(path, ())
        return stack[-1].source if stack and not stack[-1].ended else None

    def previous(self, path: ValuePath) -> tuple[Stated, ...]:
        """Return the earlier values at a path, newest first."""
        return tuple(stated for stated in reversed(self.stacks.get(path, ())[:-1]) if not stated.ended)

    def differing(self) -> Iterator[tuple[ValuePath, Stated, Stated]]:
        """Yield each value that two visits of one day state differently: path, earlier value, later value."""
        for path, stack in self.stacks.items():
            last = stack[-1]
            for before in stack[:-1]:
                is_other = not before.ended and not last.ended and before.value != last.value
                if is_other and before.source.on == last.source.on:
                    yield path, before, last


@dataclass
class _Fold:
    """The state of the fold while visits are applied."""

    look: ValueSource
    """The look that is being applied."""
    stacks: dict[ValuePath, list[Stated]] = field(default_factory=dict)
    ended_defects: dict[str, EndedDefect] = field(default_factory=dict)
    unknown_withdrawals: list[tuple[str, str]] = field(default_factory=list)
    renewed: dict[str, date] = field(default_factory=dict)
    """Day on which work renewed a part, by the part's name. Its old values end when a new one is stated."""

    def push(self, path: ValuePath, value: Any) -> None:
        """State a value. The first value of a renewed part ends the values of the old part."""
        for part, on in self.renewed.items():
            if is_of_part(path, part):
                self._end_old(unit_of(path), part, on)
        stack = self.stacks.setdefault(path, [])
        if not stack or stack[-1] != Stated(value, self.look):
            stack.append(Stated(value, self.look))

    def end(self, path: ValuePath) -> None:
        """End the value at a path, if there is one."""
        stack = self.stacks.get(path, [])
        if stack and not stack[-1].ended:
            stack.append(Stated(None, self.look, ended=True))

    def _end_old(self, unit: ValuePath, part: str, on: date) -> None:
        for path, stack in self.stacks.items():
            is_old = stack[-1].source.number < self.look.number and stack[-1].source.on <= on
            if is_old and path[: len(unit)] == unit and is_of_part(path, part):
                self.end(path)


def current_record(first: VehicleRecord, visits: Mapping[str, Visit]) -> Current:
    """Return the record after all visits, which are given by file name.

    Its earlier states are those at the end of each earlier day on which somebody looked at the vehicle.

    Raises pydantic's ValidationError if the values together are not a valid record.
    """
    fold = _Fold(first.first_look())
    for path, value in values_of(first, ()):
        fold.push(path, value)
    fold.renewed = {
        part: work.on for work in first.work_done if work.on >= first.inspection.done_on for part in work.renews
    }
    earlier: list[VehicleRecord] = []
    looked_on = first.inspection.done_on
    for number, (name, visit) in enumerate(in_order(visits), 1):
        if is_look(visit) and visit.day > looked_on:
            earlier.insert(0, _record(fold, earlier) if number > 1 else first)
            looked_on = visit.day
        gauges = fold.look.gauges
        if visit.gauges is not None:
            stated = {key: getattr(visit.gauges, key) for key in visit.gauges.model_fields_set}
            gauges = gauges.model_copy(update=stated)
        fold.look = ValueSource(visit.day, _reading(visit), visit.by, gauges, name, number)
        _apply(fold, visit)
    return Current(
        _record(fold, earlier) if visits else first,
        {path: tuple(stack) for path, stack in fold.stacks.items()},
        tuple(fold.ended_defects.values()),
        tuple(fold.unknown_withdrawals),
    )


def is_look(visit: Visit) -> bool:
    """Return whether somebody looked at the vehicle at a visit, and did not only change its price or papers."""
    return any(key in visit.model_fields_set for key in LOOKED_AT)


def _reading(visit: Visit) -> Distance | None:
    odometer = getattr(visit, "odometer", None)
    return visit.at or (odometer.reading if odometer is not None else None)


def _record(fold: _Fold, earlier: list[VehicleRecord]) -> VehicleRecord:
    """Return the current record with its earlier states, and the look of each value.

    A value that has ended keeps the look that stated it last.
    """
    looks = {}
    for path, stack in fold.stacks.items():
        stated = [each.source for each in stack if not each.ended]
        if stated and stack[-1].value != ():
            looks[path] = stated[-1]
    return VehicleRecord.model_validate(_nested(fold)).after(earlier, looks)


def in_order(visits: Mapping[str, Visit]) -> list[tuple[str, Visit]]:
    """Return visits by day, then by time, then by file name. A visit without a time precedes others of its day."""

    def moment(entry: tuple[str, Visit]) -> tuple[date, str, str]:
        name, visit = entry
        time = visit.on.time().isoformat() if isinstance(visit.on, datetime) else ""
        return visit.day, time, name

    return sorted(visits.items(), key=moment)


def path_of_text(text: str) -> ValuePath:
    """Return the path that a text such as `tires.left_front.tread` or `photos.front-left.jpg` names."""
    head, _, rest = text.partition(".")
    if head == "photos":
        return (head, rest) if rest else (head,)
    return tuple(text.split("."))


def _apply(fold: _Fold, visit: Visit) -> None:
    """Push the values of one visit."""
    for text in visit.withdraw:
        if not _withdraw(fold, path_of_text(text)):
            fold.unknown_withdrawals.append((fold.look.visit, text))
    works: tuple[Work, ...] = getattr(visit, "work_done", None) or ()
    for work in works:
        whole = _finishing(fold, work)
        if _path_of_work(whole) not in fold.stacks:  # Of known work, newer values describe the new part.
            fold.renewed.update(dict.fromkeys(whole.renews, work.on))
    if visit.at is not None and getattr(visit, "odometer", None) is None:
        fold.push(("odometer", "reading"), visit.at)
        fold.push(("odometer", "read_on"), visit.day)
    if is_look(visit):
        _note_inspection(fold, visit)
    if visit.gauges is not None:
        for key in visit.gauges.model_fields_set:
            fold.push(("inspection", "gauges", key), getattr(visit.gauges, key))
    stated = list(values_of(visit, ()))
    for group, (day, *figures) in _DAY_OF_FIGURES.items():
        if any((group, figure) == path for path, _ in stated for figure in figures):
            fold.end((group, day))  # It was the day of the figures before. A visit may state another.
    for path, value in stated:
        if path[0] == "work_done" and isinstance(value, Work):
            whole = _finishing(fold, value)
            fold.push(_path_of_work(whole), whole)
        else:
            fold.push(path, value)
    for work in works:
        for promise in work.finishes:
            fold.end(("before_delivery", promise))
    for defect in visit.defects:
        _note_state(fold, defect, visit)


def _note_inspection(fold: _Fold, visit: Visit) -> None:
    """Give `inspection` the day, the odometer and the person of a visit at which somebody looked at the vehicle."""
    fold.push(("inspection", "done_on"), visit.day)
    for key, value in (("at", fold.look.at), ("by", visit.by)):
        if value is not None:
            fold.push(("inspection", key), value)
        else:
            fold.end(("inspection", key))


def _path_of_work(work: Work) -> ValuePath:
    return "work_done", name_of("work_done", work)


def _finishing(fold: _Fold, work: Work) -> Work:
    """Return work with the keys that it lacks copied from the promises that it finishes.

    The keys are `renews`, `ends_wear_of`, `settles` and `by`.
    """
    promises = [
        stack[-1].value
        for name in work.finishes
        if (stack := fold.stacks.get(("before_delivery", name))) and not stack[-1].ended
    ]
    said = {}
    for key in ("renews", "ends_wear_of", "settles", "by"):
        stated = next((getattr(promise, key) for promise in promises if getattr(promise, key)), None)
        if stated and not getattr(work, key):
            said[key] = stated
    return work.model_copy(update=said) if said else work


def _withdraw(fold: _Fold, path: ValuePath) -> bool:
    """Remove the values below a path that the latest visit stated. Return whether there were any."""
    paths = [known for known in fold.stacks if known[: len(path)] == path]
    if not paths:
        return False
    latest = max((fold.stacks[known][-1].source for known in paths), key=lambda look: look.number).visit
    for known in paths:
        if fold.stacks[known][-1].source.visit == latest:
            fold.stacks[known].pop()
        if not fold.stacks[known]:
            del fold.stacks[known]
    return True


def _note_state(fold: _Fold, defect: DefectAtVisit, visit: Visit) -> None:
    """Store the state in which a visit saw a known defect.

    End a defect that was put right or is not found any more.
    """
    if defect.now is None:
        fold.ended_defects.pop(defect.id, None)
        return
    fold.push(("defects", defect.id, "now"), defect.now)
    if defect.now in (DefectNow.SAME, DefectNow.WORSE):
        fold.ended_defects.pop(defect.id, None)
        return
    fold.ended_defects[defect.id] = EndedDefect(defect.id, defect.now, fold.look)
    about = f"defects.{defect.id}"
    if defect.now is DefectNow.NOT_FOUND and defect.reason is not None:
        event = Event(on=visit.day, what=defect.reason, about=(about,))
        fold.push(("history", repr(event)), event)
    works = getattr(visit, "work_done", None) or ()
    is_settled = any(defect.id in work.settles for work in works)
    if defect.now is DefectNow.PUT_RIGHT and not is_settled and isinstance(defect.done, LocalizedText):
        work = Work(what=defect.done, on=visit.day, settles=(defect.id,))
        fold.push(("work_done", repr(work)), work)


def _nested(fold: _Fold) -> dict[str, Any]:
    """Return the current values as the nested mapping that a record is validated from."""
    top: dict[str, Any] = {}
    for path, stack in fold.stacks.items():
        if stack[-1].ended or (path[0] == "defects" and len(path) > 1 and path[1] in fold.ended_defects):
            continue
        if path[0] == "defects" and path[2:] == ("now",):
            continue
        group = top
        for step in path[:-1]:
            if not isinstance(group.get(step), dict):
                group[step] = {}
            group = group[step]
        if stack[-1].value != () or path[-1] not in group:
            group[path[-1]] = {} if stack[-1].value == () and is_list(path) else stack[-1].value
    return {key: _listed(key, value) for key, value in top.items()}


def _listed(key: str, value: Any) -> Any:
    """Return lists, which the fold holds as mappings by name, as lists. Other values are returned unchanged."""
    field_type = VehicleRecord.model_fields[key].annotation
    if key == "equipment":
        return {name: tuple(items.values()) for name, items in value.items()}
    if not isinstance(value, dict) or key == "checks" or not str(field_type).startswith("tuple"):
        return value
    if key == "defects":
        return tuple(
            {**defect, "photos": tuple(defect["photos"].values())} if "photos" in defect else defect
            for defect in value.values()
        )
    return tuple(value.values())
