"""The tree of a parsed YAML file: mappings, sequences and scalars, each with its position.

Lines and columns count from 1. A scalar keeps its text as written.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

KeyPath = tuple[str | int, ...]
"""Steps from the top of a file to a value: keys, and list indexes from 0."""
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
    """A single value. `plain` is false for quoted and block text, which is always text."""

    place: Position
    written: str
    plain: bool

    @property
    def value(self) -> Plain:
        """The value by the YAML 1.2 core schema, which reads `no`, `012`, `1:30` and dates as text."""
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
    """A value, and the position of its key."""

    key_place: Position
    node: Node


@dataclass(slots=True)
class YamlMapping:
    """A mapping, in file order."""

    place: Position
    entries: dict[str, Entry] = field(default_factory=dict)


@dataclass(slots=True)
class YamlSequence:
    """A sequence."""

    place: Position
    items: list[Node] = field(default_factory=list)


Node = YamlScalar | YamlMapping | YamlSequence


def child(node: Node, step: str | int) -> Node | None:
    """Return the child of a node at a key or list index, or None."""
    if isinstance(node, YamlMapping):
        entry = node.entries.get(str(step))
        return entry.node if entry else None
    if isinstance(node, YamlSequence) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return None


def plain_value(node: Node, as_text: frozenset[int] = frozenset()) -> Any:
    """Return the tree as plain Python values. Scalars whose `id()` is in `as_text` are returned as written."""
    if isinstance(node, YamlMapping):
        return {key: plain_value(entry.node, as_text) for key, entry in node.entries.items()}
    if isinstance(node, YamlSequence):
        return [plain_value(item, as_text) for item in node.items]
    return node.written if id(node) in as_text else node.value


def describe_node(node: Node) -> str:
    """Return a node in words for a message: the value as written, shortened, or its kind."""
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


def format_path(path: Sequence[str | int]) -> str:
    """Return a path as text: `defects[2].photos[1].file`. List positions count from 1 in the text."""
    shown = "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path)
    return shown.removeprefix(".")


def parse_path(where: str) -> KeyPath:
    """Return the path that `format_path` wrote as `where`. Keys of records contain no dots or brackets."""
    steps = re.findall(r"\[(\d+)\]|([^.\[\]]+)", where)
    return tuple(int(number) - 1 if number else name for number, name in steps)
