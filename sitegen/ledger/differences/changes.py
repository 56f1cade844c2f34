"""Differences between two disclosures of a vehicle, in plain words. Pure.

Facts are the contents of `record.json`: lists and mappings of plain values. List items are matched by their `id`,
their `key`, or their content.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

Facts = Mapping[str, Any]
LONGEST = 120
"""Longest value, in characters, that is written out in full."""


@dataclass(frozen=True)
class Difference:
    """One value that was added, removed or changed."""

    at: str
    """Path of the value: `tires.left_front.tread.inner`, `defects.sill-rust.words`."""
    was: Any
    now: Any
    is_new: bool = False
    is_gone: bool = False


def changes(old: Facts, new: Facts) -> tuple[str, ...]:
    """Return each difference as text: `tires.left_front.tread.inner: 6/32 in, was 7/32 in`."""
    return tuple(_words(difference) for difference in differences(old, new))


def differences(old: Facts, new: Facts) -> Iterator[Difference]:
    """Yield each added, removed or changed value, at the deepest path that can be named."""
    yield from _differences("", old, new)


def _words(difference: Difference) -> str:
    if difference.is_new:
        return f"{difference.at}: new{_suffix(difference.now)}"
    if difference.is_gone:
        return f"{difference.at}: gone{_suffix(difference.was)}"
    if difference.at.rpartition(".")[2] == "sha256":
        return f"{difference.at}: another picture"
    return f"{difference.at}: {written(difference.now)}, was {written(difference.was)}"


def _differences(at: str, old: Any, new: Any) -> Iterator[Difference]:
    if old == new:
        return
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in sorted({*old, *new}):
            yield from _of_key(f"{at}.{key}" if at else key, key, old, new)
    elif isinstance(old, list) and isinstance(new, list):
        before, after = _by_name(old), _by_name(new)
        for name in [*before, *(name for name in after if name not in before)]:
            yield from _of_key(f"{at}.{name}", name, before, after)
    else:
        yield Difference(at, old, new)


def _of_key(at: str, key: str, old: Facts, new: Facts) -> Iterator[Difference]:
    if key not in old:
        yield Difference(at, None, new[key], is_new=True)
    elif key not in new:
        yield Difference(at, old[key], None, is_gone=True)
    else:
        yield from _differences(at, old[key], new[key])


def _by_name(things: list[Any]) -> dict[str, Any]:
    """Return the items of a list by name. Items of equal name get a number."""
    named: dict[str, Any] = {}
    for thing in things:
        name = base = _name(thing)
        number = 1
        while name in named:
            number += 1
            name = f"{base} ({number})"
        named[name] = thing
    return named


def _name(thing: Any) -> str:
    if isinstance(thing, Mapping):
        for key in ("id", "key", "on", "what", "shows", "sha256"):
            if key in thing:
                return written(thing[key])
    return written(thing)


def _suffix(value: Any) -> str:
    return "" if isinstance(value, Mapping | list) else f", {written(value)}"


def written(value: Any) -> str:
    """Return a value as short text, as ledger lines and messages show it."""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, sort_keys=True)
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."
