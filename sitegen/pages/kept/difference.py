"""One thing that is disclosed otherwise than in an earlier version, before it is said in a language."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from sitegen.condition.basis.values import Value, Word
from sitegen.records.base import LocalizedText
from sitegen.records.quantities import Quantity

Kind = TypeVar("Kind", bound=Quantity)
Facts = Mapping[str, Any]
"""What `record.json` holds, as plain JSON values; of an earlier version, as an earlier sitegen wrote them."""


@dataclass(frozen=True)
class Price:
    """An amount in the store's currency."""

    amount: Decimal


@dataclass(frozen=True)
class Words:
    """Several words, which are told as a list."""

    of: tuple[Word, ...]


Named = Value | Price | Words


@dataclass(frozen=True)
class PublishedDifference:
    """A sentence on what is new, other or gone, and where on the page that is."""

    about: str
    """The key of the record that it is about: `tires`."""
    key: str
    """Of the message."""
    figures: tuple[tuple[str, Named], ...] = ()
    places: tuple[str, ...] = ()
    """Anchors on the page, the nearest first; the page may lack the first ones, and some things have no place."""
    is_new: bool = False
    """Whether it is there for the first time."""


def difference(about: str, key: str, *places: str, is_new: bool = False, **figures: Named) -> PublishedDifference:
    """Return a difference."""
    return PublishedDifference(about, key, tuple(figures.items()), places, is_new)


def part_of(value: Any, *path: str) -> Facts:
    """Return the mapping at a path of facts; an empty one where there is none."""
    for step in path:
        value = value.get(step) if isinstance(value, Mapping) else None
    return value if isinstance(value, Mapping) else {}


def things_of(facts: Facts, key: str) -> list[Facts]:
    """Return the mappings that a list of facts holds; none where there is no list."""
    listed = facts.get(key)
    return [thing for thing in listed if isinstance(thing, Mapping)] if isinstance(listed, list) else []


def text_of(value: Any) -> LocalizedText:
    """Return a text of the store as facts have it: one string, or one for each language."""
    if isinstance(value, Mapping) and value:
        return LocalizedText({str(language): str(text) for language, text in value.items()})
    return LocalizedText({"": str(value)})


def names_of(thing: Facts, key: str) -> list[str]:
    """Return the names that a list within a thing holds; none where there is no list."""
    listed = thing.get(key)
    return [str(name) for name in listed] if isinstance(listed, list) else []


def day_of_fact(value: Any) -> date | None:
    """Return a day as facts write it, or None for what is none."""
    try:
        return date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None


def figure_of(kind: type[Kind], value: Any) -> Kind | None:
    """Return a quantity, or None for what is none, or none that can be read any more."""
    try:
        return kind.parse(value) if isinstance(value, str) else None
    except ValueError:
        return None


def named_otherwise(about: str, heading: str, *places: str) -> PublishedDifference:
    """Return that something under a heading of the page is told otherwise: for what has no sentence of its own."""
    return difference(about, "kept.part", *places, part=Word(heading))


def unlike(old: Sequence[Any], new: Sequence[Any]) -> tuple[list[Any], list[Any]]:
    """Return what only the old list holds, and what only the new one."""
    return [one for one in old if one not in new], [one for one in new if one not in old]
