"""List the values of a record or a visit with their paths, and which of them describe a renewed part. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sitegen.records.base import Record
from sitegen.records.vehicle_record import ValuePath
from sitegen.records.visits.visit import WHOLE
from sitegen.records.wheels.tires import OF_ALL_TIRES

_KEYS_OF_ITEMS = {"photos": "file", "paint": "panel"}
_NOT_OF_THE_RECORD = ("on", "at", "by", "gauges", "withdraw")
_NOT_OF_A_DEFECT = ("now", "reason")
_LINING_KEYS = ("pads", "shoes", "new_pads", "new_shoes", "fitted_at", "fitted_on")


def values_of(record: Record, path: ValuePath) -> Iterator[tuple[ValuePath, Any]]:
    """Yield the path and value of each value that a record or a visit states."""
    for key in type(record).model_fields:
        value = getattr(record, key)
        is_left_out = key not in record.model_fields_set or value is None
        if is_left_out or (not path and key in _NOT_OF_THE_RECORD):
            continue
        here = (*path, key)
        if isinstance(value, Record) and here[0] not in WHOLE and here[:-1] != ("inspection", "gauges"):
            yield from values_of(value, here)
        elif isinstance(value, tuple) and is_list(here):
            yield from values_of_list(value, here)
        elif key == "checks":
            yield from (((*here, point), check) for point, check in value.items())
        else:
            yield here, value


def values_of_list(items: tuple[Any, ...], path: ValuePath) -> Iterator[tuple[ValuePath, Any]]:
    """Yield the values of a list, each under its name."""
    yield path, ()
    for item in items:
        here = (*path, name_of(path[0], item))
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


def name_of(key: str, item: Any) -> str:
    """Return the name of an entry of a list: its file, panel or id. Without any, the entry is its own name."""
    named_by = getattr(item, _KEYS_OF_ITEMS.get(key, "id"), None)
    return named_by if isinstance(named_by, str) else repr(item if named_by is None else named_by)


def is_list(path: ValuePath) -> bool:
    """Return whether a list at this path is merged entry by entry. Any other list is one value."""
    return path[0] not in ("checks", "formerly", *WHOLE) and (len(path) == 1 or path[0] == "equipment")


def unit_of(path: ValuePath) -> ValuePath:
    """Return the path of the part that a value describes: one wheel's tire or brake, the battery."""
    return path[:2] if path[0] in ("tires", "brakes") else path[:1]


def is_of_part(path: ValuePath, part: str) -> bool:
    """Return whether a value describes a part that was renewed, by the name that `renews` has for the part."""
    names = tuple(part.split("."))
    if names in (("services", "brake_fluid"), ("services", "coolant")):
        names = names[1:]
    if path[: len(names)] != names or path[0] == "checks" or (path[0] == "tires" and path[-1] in OF_ALL_TIRES):
        return False
    return path[0] != "brakes" or len(path) < 3 or path[2] in _LINING_KEYS
