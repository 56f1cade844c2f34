"""What a YAML file holds, with the place of every key and value: groups of keys, lists, and single values.

Places count lines and columns from 1. A single value keeps its text as written beside what YAML takes it for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

KeyPath = tuple[str | int, ...]
"""Steps from the top of a file to a value: keys, and positions in lists, which count from 0."""
Plain = str | int | float | bool | None

_WHOLE_NUMBER = re.compile(r"-?(0|[1-9]\d{0,14})")
_DECIMAL_NUMBER = re.compile(r"-?(0|[1-9]\d{0,14})?\.\d{1,15}")
_LONGEST_SHOWN = 60


class Position(NamedTuple):
    """A line and a column, counted from 1."""

    line: int
    column: int


@dataclass(slots=True)
class YamlScalar:
    """A single value. `plain` is false for what stands in quotes or in a block of text: that is always text."""

    place: Position
    written: str
    plain: bool

    @property
    def value(self) -> Plain:
        """What the core schema of YAML 1.2 takes it for, and nothing more: `no`, `012`, `1:30` and dates are text."""
        if not self.plain:
            return self.written
        if self.written in ("", "~", "null"):
            return None
        if self.written in ("true", "false"):
            return self.written == "true"
        if _WHOLE_NUMBER.fullmatch(self.written):
            return int(self.written)
        if _DECIMAL_NUMBER.fullmatch(self.written):
            return float(self.written)
        return self.written


@dataclass(slots=True)
class Entry:
    """A value and where its key stands."""

    key_place: Position
    node: Node


@dataclass(slots=True)
class YamlMapping:
    """A group of keys with their values, in the order of the file."""

    place: Position
    entries: dict[str, Entry] = field(default_factory=dict)


@dataclass(slots=True)
class YamlSequence:
    """A list of values."""

    place: Position
    items: list[Node] = field(default_factory=list)


Node = YamlScalar | YamlMapping | YamlSequence


def child(node: Node, step: str | int) -> Node | None:
    """Return what one step leads to, if there is anything."""
    if isinstance(node, YamlMapping):
        entry = node.entries.get(str(step))
        return entry.node if entry else None
    if isinstance(node, YamlSequence) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return None


def plain_value(node: Node, as_text: frozenset[int] = frozenset()) -> Any:
    """Return the values alone. A single value whose identity is in `as_text` is given as it was written."""
    if isinstance(node, YamlMapping):
        return {key: plain_value(entry.node, as_text) for key, entry in node.entries.items()}
    if isinstance(node, YamlSequence):
        return [plain_value(item, as_text) for item in node.items]
    return node.written if id(node) in as_text else node.value


def found_words(node: Node) -> str:
    """Say what was found, as it was written; a long text is cut."""
    if isinstance(node, YamlMapping):
        return "a group of keys"
    if isinstance(node, YamlSequence):
        return "a list" if node.items else "an empty list"
    if node.value is None:
        return "nothing"
    text = " ".join(node.written.split())
    if not text:
        return "an empty text"
    if not node.plain and not isinstance(YamlScalar(node.place, text, plain=True).value, str):
        return f'"{text}"'
    return text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN].rstrip()}..."


def where_words(path: Sequence[str | int]) -> str:
    """Return a path as it is shown: defects[2].photos[1].file, where lists count from 1."""
    shown = "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path)
    return shown.removeprefix(".")


def path_of(where: str) -> KeyPath:
    """Return the path that is shown as `where`. No key of a record has a dot or a bracket in it."""
    steps = re.findall(r"\[(\d+)\]|([^.\[\]]+)", where)
    return tuple(int(number) - 1 if number else name for number, name in steps)
