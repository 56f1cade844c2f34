"""Values that stand in for required values that cannot be read, so that the rest of a record can be checked.

A stand-in is the nearest valid reading of what was written, or else any valid value. Nothing is ever reported about
it, and it is never published.
"""

from __future__ import annotations

import types
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, RootModel

from sitegen.reading.validation.did_you_mean import nearest
from sitegen.reading.yaml.tree import Entry, Node, Position, YamlMapping, YamlScalar, YamlSequence
from sitegen.records.base import LocalizedText, PartialDate
from sitegen.records.everyday import iso_days
from sitegen.records.quantities import Quantity

_BY_KEY = {
    "vin": "00000",
    "phone": "+1 202 555 0100",
    "base_address": "https://unread.example/",
    "currency": "USD",
    "time_zone": "UTC",
    "languages": "en",
    "status": "for sale",
    "year": "1900",
}
"""Values of keys whose form is stricter than their type. Nothing about a vehicle of this year is too old."""
_TEXT = "unread"
DEEPEST = 6


def stand_in(annotation: Any, key: str, written: str, place: Position, depth: int = DEEPEST) -> Node | None:
    """Return a valid value of a type as a YAML node, or None if there is no simple one.

    `written` is the text in its place, or empty. Groups are at most `depth` deep.
    """
    for kind in _members(annotation):
        node = _of_type(kind, key, written, place, depth)
        if node is not None:
            return node
    return None


def _of_type(kind: Any, key: str, written: str, place: Position, depth: int) -> Node | None:
    origin = get_origin(kind)
    if origin is tuple:
        item = stand_in(get_args(kind)[0], key, "", place, depth)
        return None if item is None else YamlSequence(place, [item])
    if origin is dict:
        return YamlMapping(place)
    if origin is Literal:
        return YamlScalar(place, str(get_args(kind)[0]), plain=False)
    if not isinstance(kind, type) or depth == 0:
        return None
    if issubclass(kind, RootModel):
        return None
    if issubclass(kind, BaseModel):
        return _group(kind, place, depth)
    if issubclass(kind, Enum):
        choices = [str(member.value) for member in kind]
        guess = nearest(written, choices) or (_BY_KEY[key] if _BY_KEY.get(key) in choices else choices[0])
        return YamlScalar(place, guess, plain=False)
    return _scalar(kind, key, written, place)


def _group(model: type[BaseModel], place: Position, depth: int) -> Node | None:
    group = YamlMapping(place)
    for name, field in model.model_fields.items():
        if field.is_required():
            key = field.alias or name
            node = stand_in(field.annotation, key, "", place, depth - 1)
            if node is None:
                return None
            group.entries[key] = Entry(place, node)
    return group


def _scalar(kind: type, key: str, written: str, place: Position) -> Node | None:
    if issubclass(kind, bool):
        return YamlScalar(place, "true", plain=True)
    if issubclass(kind, int):
        return YamlScalar(place, _BY_KEY.get(key, "1"), plain=True)
    if issubclass(kind, float):
        return YamlScalar(place, "0.5", plain=True)
    if issubclass(kind, Decimal):
        return YamlScalar(place, "1", plain=True)
    if issubclass(kind, date | PartialDate):
        days = [day for day in iso_days(written) if len(day) == len("2026-10-04")]
        return YamlScalar(place, days[0] if days else date.today().isoformat(), plain=False)
    if issubclass(kind, Quantity):
        return YamlScalar(place, kind.example, plain=False)
    if issubclass(kind, str | LocalizedText):
        return YamlScalar(place, _BY_KEY.get(key, _TEXT), plain=False)
    return None


def _members(annotation: Any) -> Iterator[Any]:
    """Yield the types that an annotation allows, without Annotated, Union and None."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _members(get_args(annotation)[0])
    elif origin in (Union, types.UnionType):
        for member in get_args(annotation):
            yield from _members(member)
    elif annotation is not type(None):
        yield annotation
