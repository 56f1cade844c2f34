"""What has changed from one disclosure of a vehicle to the next, in plain words. Pure.

Facts are what `record.json` holds: lists and mappings of plain values. Things in a list are known by their `id`, by
their `key`, or by what they are.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

Facts = Mapping[str, Any]
LONGEST = 120
"""Of a value that is written out; a longer one is only said to be another."""


@dataclass(frozen=True)
class Difference:
    """One value that is new, gone or another."""

    at: str
    """Where: `tires.left_front.tread.inner`, `defects.sill-rust.words`."""
    was: Any
    now: Any
    is_new: bool = False
    is_gone: bool = False


def changes(old: Facts, new: Facts) -> tuple[str, ...]:
    """Return what is new, other or gone: `tires.left_front.tread.inner: 6/32 in, was 7/32 in`."""
    return tuple(_words(one) for one in differences(old, new))


def differences(old: Facts, new: Facts) -> Iterator[Difference]:
    """Yield what is new, other or gone, the smallest part of it that can be named."""
    yield from _differences("", old, new)


def _words(one: Difference) -> str:
    if one.is_new:
        return f"{one.at}: new{_told(one.now)}"
    if one.is_gone:
        return f"{one.at}: gone{_told(one.was)}"
    if one.at.rpartition(".")[2] == "sha256":
        return f"{one.at}: another picture"
    return f"{one.at}: {written(one.now)}, was {written(one.was)}"


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
    """Return what a list holds by the names under which it is spoken of; twins are counted."""
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


def _told(value: Any) -> str:
    return "" if isinstance(value, Mapping | list) else f", {written(value)}"


def written(value: Any) -> str:
    """Return a value as lines and messages show it: short."""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, sort_keys=True)
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."
