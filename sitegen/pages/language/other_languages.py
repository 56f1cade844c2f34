"""Which languages a page speaks besides its own: the store's texts are not all translated, and the page says so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any


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
            for name in _names_of_fields(kind):
                value = getattr(part, name)
                if name == "language" and isinstance(value, str):
                    told.add(value)
                elif value is not None:
                    parts.append(value)
    return tuple(sorted(told))


@cache
def _names_of_fields(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else ()
