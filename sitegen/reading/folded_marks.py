"""The places of a record's values in the files that state them: the first inspection and the visits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitegen.reading.validation.record_files import Reading
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath, Node, Position
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import FIRST_LOOK
from sitegen.records.visits.values import name_of

_OF_THE_HEAD = {"done_on": "on", "at": "at", "by": "by", "gauges": "gauges"}
"""The key of a visit for each key of `inspection`."""


class FoldedMarks(Marks):
    """The places of the values of a record with visits. A path of the record leads to the file of its value."""

    def __init__(self, record: VehicleRecord, files: Mapping[str, Reading[Any]]) -> None:
        """`files` are the readings by the visit's name. The first inspection has an empty name."""
        super().__init__(files[FIRST_LOOK].marks.file, None)
        self._record = record
        self._files = files

    def located(self, path: KeyPath) -> tuple[Marks, KeyPath]:
        """Return the places of the file that states a value, and the value's path in that file."""
        named, keys = _named(self._record, path)
        visit = self._visit_of(named)
        reading = self._files[visit]
        if visit == FIRST_LOOK or reading.readable_part is None:
            return reading.marks, path
        if path[:1] == ("inspection",):
            return reading.marks, (_OF_THE_HEAD[str(path[1])], *path[2:]) if len(path) > 1 else ("on",)
        if path[:1] == ("odometer",) and reading.marks.node(("odometer",)) is None:
            return reading.marks, ("on",) if path[1:] == ("read_on",) else ("at",)
        return reading.marks, _in_file(reading.readable_part, keys)

    def _visit_of(self, named: tuple[str, ...]) -> str:
        """Return the visit that stated a value, or the latest value of a group, or the nearest group above it."""
        for length in range(len(named), 0, -1):
            found = [look for path, look in self._record.looks.items() if path[:length] == named[:length]]
            if found:
                return max(found, key=lambda look: look.number).visit
        return FIRST_LOOK

    def node(self, path: KeyPath) -> Node | None:
        """Return the YAML node of the value at a path of the record, or None if no file states it."""
        marks, place = self.located(path)
        return marks.node(place)

    def value_place(self, path: KeyPath) -> Position:
        """Return the position of the value at a path in its file."""
        marks, place = self.located(path)
        return marks.value_place(place)

    def key_place(self, path: KeyPath) -> Position:
        """Return the position of the key at a path in its file."""
        marks, place = self.located(path)
        return marks.key_place(place)

    def keys(self, path: KeyPath) -> tuple[str, ...]:
        """Return the keys of a group in the file of its latest value."""
        marks, place = self.located(path)
        return marks.keys(place)

    def texts(self, path: KeyPath) -> tuple[str, ...]:
        """Return the single values of a list as written."""
        marks, place = self.located(path)
        return marks.texts(place)


def _named(record: VehicleRecord, path: KeyPath) -> tuple[tuple[str, ...], tuple[tuple[str, str | int], ...]]:
    """Return a path with the names of list entries, and pairs of each name and the step that it stands for."""
    value: Any = record
    pairs: list[tuple[str, str | int]] = []
    key = ""
    for step in path:
        if isinstance(step, int):
            entries = value if isinstance(value, tuple) else ()
            value = entries[step] if step < len(entries) else None
            pairs.append((name_of(key, value), step))
        else:
            value = value.get(step) if isinstance(value, dict) else getattr(value, step, None)
            pairs.append((step, step))
            key = step
    return tuple(name for name, _ in pairs), tuple(pairs)


def _in_file(visit: Any, steps: tuple[tuple[str, str | int], ...]) -> KeyPath:
    """Return the path within a visit's file. It ends above an entry that the file does not have."""
    value: Any = visit
    found: list[str | int] = []
    key = ""
    for name, step in steps:
        if isinstance(step, int):
            names = [name_of(key, entry) for entry in value] if isinstance(value, tuple) else []
            if name not in names:
                break
            found.append(names.index(name))
            value = value[names.index(name)]
        else:
            found.append(step)
            value = value.get(step) if isinstance(value, dict) else getattr(value, step, None)
            key = step
    return tuple(found)
