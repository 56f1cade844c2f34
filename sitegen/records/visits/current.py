"""The current record of a vehicle: its first inspection and its visits, folded in the order of their moments. Pure.

Each value lies in a stack under its path. A visit pushes the values that it states and touches nothing else, so a
value that no visit mentions stays. The newest value of each stack is the current one; those below are its history.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Final

from sitegen.records.base import LocalizedText, Record
from sitegen.records.disclosure import Event, Work
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.visit import WHOLE, DefectAtVisit, DefectNow, Visit
from sitegen.records.wheels.tires import OF_ALL_TIRES

ValuePath = tuple[str, ...]
"""Keys from the top of the record to a value. Defects and photos of a list count by their id or file name."""
FIRST_LOOK: Final = ""
"""Name of the first inspection among the visits."""
_KEYS_OF_ITEMS = {"defects": "id", "photos": "file", "paint": "panel"}
_NOT_OF_THE_RECORD = ("on", "at", "by", "gauges", "withdraw")
_NOT_OF_A_DEFECT = ("now", "reason")
_LINING_KEYS = ("pads", "shoes", "new_pads", "new_shoes", "fitted_at", "fitted_on")


@dataclass(frozen=True)
class ValueSource:
    """Where a value comes from: the day and the person, and the visit's file name (empty for the first look)."""

    on: date
    by: LocalizedText | None
    visit: str


@dataclass(frozen=True)
class Stated:
    """One value as stated at one visit. `ended` marks the end of a value: the part was renewed since."""

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
        """Return the source of the current value at a path, or None if there is no value."""
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

    stacks: dict[ValuePath, list[Stated]] = field(default_factory=dict)
    ended_defects: dict[str, EndedDefect] = field(default_factory=dict)
    unknown_withdrawals: list[tuple[str, str]] = field(default_factory=list)
    applied: list[str] = field(default_factory=lambda: [FIRST_LOOK])
    """Names of the visits applied so far, in order."""

    def push(self, path: ValuePath, value: Any, source: ValueSource) -> None:
        stack = self.stacks.setdefault(path, [])
        if not stack or stack[-1] != Stated(value, source):
            stack.append(Stated(value, source))


def current_record(first: VehicleRecord, visits: Mapping[str, Visit]) -> Current:
    """Return the record after all visits, which are given by file name.

    Raises pydantic's ValidationError if the values together are not a valid record.
    """
    fold = _Fold()
    look = ValueSource(first.inspection.done_on, first.inspection.by, FIRST_LOOK)
    for path, value in _values_of(first, ()):
        fold.push(path, value, look)
    for name, visit in in_order(visits):
        _apply(fold, visit, ValueSource(visit.day, visit.by, name))
    return Current(
        VehicleRecord.model_validate(_nested(fold)),
        {path: tuple(stack) for path, stack in fold.stacks.items()},
        tuple(fold.ended_defects.values()),
        tuple(fold.unknown_withdrawals),
    )


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


def _apply(fold: _Fold, visit: Visit, source: ValueSource) -> None:
    """Push the values of one visit, after the parts that its work renewed have lost theirs."""
    fold.applied.append(source.visit)
    for text in visit.withdraw:
        if not _withdraw(fold, path_of_text(text)):
            fold.unknown_withdrawals.append((source.visit, text))
    for work in getattr(visit, "work_done", None) or ():
        _end_renewed(fold, work, source)
    if visit.at is not None and getattr(visit, "odometer", None) is None:
        fold.push(("odometer", "reading"), visit.at, source)
        fold.push(("odometer", "read_on"), visit.day, source)
    if visit.gauges is not None:
        fold.push(("inspection", "gauges"), visit.gauges, source)
    for path, value in _values_of(visit, ()):
        fold.push(path, value, source)
    for defect in visit.defects:
        _note_state(fold, defect, visit, source)


def _values_of(record: Record, path: ValuePath) -> Iterator[tuple[ValuePath, Any]]:
    """Yield the path and value of each value that a record or a visit states."""
    for key in type(record).model_fields:
        value = getattr(record, key)
        is_left_out = key not in record.model_fields_set or value is None
        if is_left_out or (not path and key in _NOT_OF_THE_RECORD):
            continue
        here = (*path, key)
        if isinstance(value, Record) and here[0] not in WHOLE and here != ("inspection", "gauges"):
            yield from _values_of(value, here)
        elif isinstance(value, tuple) and _is_list(here):
            yield from _values_of_items(value, here)
        elif key == "checks":
            yield from (((*here, point), check) for point, check in value.items())
        else:
            yield here, value


def _values_of_items(items: tuple[Any, ...], path: ValuePath) -> Iterator[tuple[ValuePath, Any]]:
    """Yield the values of a list. Without a key of its own, an entry is its own name, so that it is listed once."""
    yield path, ()
    name_key = _KEYS_OF_ITEMS.get(path[0])
    for item in items:
        name = repr(item) if name_key is None else getattr(item, name_key)
        here = (*path, name if isinstance(name, str) else repr(name))
        if path[0] != "defects":
            yield here, item
            continue
        for key in type(item).model_fields:
            value = getattr(item, key)
            if key in _NOT_OF_A_DEFECT or key not in item.model_fields_set or value is None:
                continue
            if key == "photos":
                yield from (((*here, key, photo.file), photo) for photo in value)
            else:
                yield (*here, key), value


def _withdraw(fold: _Fold, path: ValuePath) -> bool:
    """Remove the values below a path that the latest visit stated. Return whether there were any."""
    paths = [known for known in fold.stacks if known[: len(path)] == path]
    if not paths:
        return False
    latest = max((fold.stacks[known][-1].source.visit for known in paths), key=fold.applied.index)
    for known in paths:
        if fold.stacks[known][-1].source.visit == latest:
            fold.stacks[known].pop()
        if not fold.stacks[known]:
            del fold.stacks[known]
    return True


def _end_renewed(fold: _Fold, work: Work, source: ValueSource) -> None:
    """End the values of the parts that a work renewed, as far as they were stated up to the day of the work."""
    if ("work_done", repr(work)) in fold.stacks:
        return  # The work is known, so newer values describe the new part.
    for path, stack in fold.stacks.items():
        if any(_is_of_part(path, part) for part in work.renews) and stack[-1].source.on <= work.on:
            stack.append(Stated(None, source, ended=True))


def _is_of_part(path: ValuePath, part: str) -> bool:
    """Return whether a value describes a part that was renewed, by the name that `renews` has for the part."""
    names = tuple(part.split("."))
    if names in (("services", "brake_fluid"), ("services", "coolant")):
        names = names[1:]
    if path[: len(names)] != names or path[0] == "checks" or (path[0] == "tires" and path[-1] in OF_ALL_TIRES):
        return False
    return path[0] != "brakes" or len(path) < 3 or path[2] in _LINING_KEYS


def _note_state(fold: _Fold, defect: DefectAtVisit, visit: Visit, source: ValueSource) -> None:
    """Keep when a known defect was seen again, and end one that was put right or is not found any more."""
    if defect.now is None:
        fold.ended_defects.pop(defect.id, None)
        return
    fold.push(("defects", defect.id, "now"), defect.now, source)
    if defect.now in (DefectNow.SAME, DefectNow.WORSE):
        fold.ended_defects.pop(defect.id, None)
        return
    fold.ended_defects[defect.id] = EndedDefect(defect.id, defect.now, source)
    about = f"defects.{defect.id}"
    if defect.now is DefectNow.NOT_FOUND and defect.reason is not None:
        event = Event(on=visit.day, what=defect.reason, about=(about,))
        fold.push(("history", repr(event)), event, source)
    works = getattr(visit, "work_done", None) or ()
    is_settled = any(defect.id in work.settles for work in works)
    if defect.now is DefectNow.PUT_RIGHT and not is_settled and isinstance(defect.done, LocalizedText):
        work = Work(what=defect.done, on=visit.day, settles=(defect.id,))
        fold.push(("work_done", repr(work)), work, source)


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
            group[path[-1]] = {} if stack[-1].value == () and _is_list(path) else stack[-1].value
    return {key: _listed(key, value) for key, value in top.items()}


def _is_list(path: ValuePath) -> bool:
    """Return whether a list at this path is merged entry by entry. Any other list is one value."""
    return path[0] not in ("checks", "formerly", *WHOLE) and (len(path) == 1 or path[0] == "equipment")


def _listed(key: str, value: Any) -> Any:
    """Return lists, which are kept as mappings by name, as lists."""
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
