"""Which languages a page speaks besides its own: the store's texts are not all translated, and the page says so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass


def languages_told(view: object) -> tuple[str, ...]:
    """Return every language that something in a view names as its own, sorted.

    A view is made of dataclasses, tuples and mappings; what is not in the page's language says so in its `language`.
    """
    return tuple(sorted(set(_languages(view))))


def _languages(part: object) -> Iterator[str]:
    if isinstance(part, Mapping):
        for value in part.values():
            yield from _languages(value)
    elif isinstance(part, tuple | list):
        for item in part:
            yield from _languages(item)
    elif is_dataclass(part):
        for field in fields(part):
            value = getattr(part, field.name)
            if field.name == "language" and isinstance(value, str):
                yield value
            else:
                yield from _languages(value)
