"""A difference between two published versions, independent of language, and functions that read published facts."""

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
"""The content of a `record.json` as plain JSON values. An earlier version may have been written by an earlier
sitegen."""


@dataclass(frozen=True)
class Price:
    """An amount in the store's currency."""

    amount: Decimal


@dataclass(frozen=True)
class Words:
    """Several words that are shown as a list."""

    of: tuple[Word, ...]


Named = Value | Price | Words


@dataclass(frozen=True)
class PublishedDifference:
    """One added, changed or removed fact: the message that describes it, and its place on the page."""

    about: str
    """The key of the record that changed, such as `tires`."""
    key: str
    """The message key."""
    figures: tuple[tuple[str, Named], ...] = ()
    places: tuple[str, ...] = ()
    """Anchors on the page, most specific first. The page may lack some of them, and some facts have no anchor."""
    is_new: bool = False
    """Whether the fact appears for the first time."""


def difference(about: str, key: str, *places: str, is_new: bool = False, **figures: Named) -> PublishedDifference:
    """Return a difference with these anchors (`places`) and the figures of its message."""
    return PublishedDifference(about, key, tuple(figures.items()), places, is_new)


def part_of(value: Any, *path: str) -> Facts:
    """Return the mapping at a path of keys, or an empty one if there is none."""
    for step in path:
        value = value.get(step) if isinstance(value, Mapping) else None
    return value if isinstance(value, Mapping) else {}


def things_of(facts: Facts, key: str) -> list[Facts]:
    """Return the mappings in the list under a key, or none if there is no list."""
    listed = facts.get(key)
    return [thing for thing in listed if isinstance(thing, Mapping)] if isinstance(listed, list) else []


def text_of(value: Any) -> LocalizedText:
    """Return a text of the store from its published form: a string, or a mapping of languages to strings."""
    if isinstance(value, Mapping) and value:
        return LocalizedText({str(language): str(text) for language, text in value.items()})
    return LocalizedText({"": str(value)})


def names_of(thing: Facts, key: str) -> list[str]:
    """Return the strings in the list under a key, or none if there is no list."""
    listed = thing.get(key)
    return [str(name) for name in listed] if isinstance(listed, list) else []


def day_of_fact(value: Any) -> date | None:
    """Parse an ISO 8601 day. Return None for anything else."""
    try:
        return date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None


def figure_of(kind: type[Kind], value: Any) -> Kind | None:
    """Parse a quantity. Return None if the value is missing or can no longer be parsed."""
    try:
        return kind.parse(value) if isinstance(value, str) else None
    except ValueError:
        return None


def section_difference(about: str, heading: str, *places: str) -> PublishedDifference:
    """Return the general difference "something under this heading changed", for changes without their own message."""
    return difference(about, "kept.part", *places, part=Word(heading))


def removed_and_added(old: Sequence[Any], new: Sequence[Any]) -> tuple[list[Any], list[Any]]:
    """Return the items that only the old list has, and those that only the new list has."""
    return [item for item in old if item not in new], [item for item in new if item not in old]
