"""Which languages a page speaks besides its own: the store's texts are not all translated, and the page says so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

_SAYS_NOTHING = (str, int, float, Decimal, Fraction, date, Enum, NoneType)
"""Types that have no language of their own."""


def languages_told(view: object) -> tuple[str, ...]:
    """Return every language that something in a view names as its own, sorted.

    A view is made of dataclasses, tuples and mappings; what is not in the page's language says so in its `language`.
    """
    told: set[str] = set()
    parts: list[object] = [view]
    while parts:
        part = parts.pop()
        if isinstance(part, str):  # by far the most, so it is asked first
            continue
        if isinstance(part, tuple | list):
            parts.extend(part)
        elif isinstance(part, Mapping):
            parts.extend(part.values())
        else:
            kind: Any = type(part)
            for name in _telling_fields(kind):
                value = getattr(part, name)
                if name == "language" and isinstance(value, str):
                    told.add(value)
                elif value is not None:
                    parts.append(value)
    return tuple(sorted(told))


@cache
def _telling_fields(kind: type) -> tuple[str, ...]:
    """Return the fields of a dataclass that may name a language, or hold something that does."""
    return tuple(_found_in(kind)) if is_dataclass(kind) else ()


def _found_in(kind: type) -> Iterator[str]:
    types = get_type_hints(kind)
    for field in fields(kind):
        if field.name == "language" or _may_tell(types[field.name]):
            yield field.name


def _may_tell(kind: Any) -> bool:
    """Tell whether a value of a type, as a field declares it, may hold something with a language."""
    if get_origin(kind) in (Union, UnionType, tuple, list, frozenset):
        return any(_may_tell(part) for part in get_args(kind) if part is not ...)
    return not (isinstance(kind, type) and issubclass(kind, _SAYS_NOTHING))
