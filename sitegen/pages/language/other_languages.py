"""Find the languages of untranslated store texts in a view, so that the page can name them."""

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

_WITHOUT_LANGUAGE = (str, int, float, Decimal, Fraction, date, Enum, NoneType)
"""Types that cannot hold a text with its own language."""


def languages_in(view: object) -> tuple[str, ...]:
    """Return every language that is named in a `language` field within a view, sorted.

    A view consists of dataclasses, tuples, lists and mappings. A text in another language than the page's has it in
    `language`.
    """
    languages: set[str] = set()
    parts: list[object] = [view]
    while parts:
        part = parts.pop()
        if isinstance(part, str):  # Most parts are strings, so this check comes first.
            continue
        if isinstance(part, tuple | list):
            parts.extend(part)
        elif isinstance(part, Mapping):
            parts.extend(part.values())
        else:
            kind: Any = type(part)
            for name in _relevant_fields(kind):
                value = getattr(part, name)
                if name == "language" and isinstance(value, str):
                    languages.add(value)
                elif value is not None:
                    parts.append(value)
    return tuple(sorted(languages))


@cache
def _relevant_fields(kind: type) -> tuple[str, ...]:
    """Return the names of a dataclass's fields that may be or contain a `language`."""
    return tuple(_fields_with_language(kind)) if is_dataclass(kind) else ()


def _fields_with_language(kind: type) -> Iterator[str]:
    types = get_type_hints(kind)
    for field in fields(kind):
        if field.name == "language" or _may_hold_language(types[field.name]):
            yield field.name


def _may_hold_language(kind: Any) -> bool:
    """Return whether a value of this declared type may contain a text with its own language."""
    if get_origin(kind) in (Union, UnionType, tuple, list, frozenset):
        return any(_may_hold_language(part) for part in get_args(kind) if part is not ...)
    return not (isinstance(kind, type) and issubclass(kind, _WITHOUT_LANGUAGE))
