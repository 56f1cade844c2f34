"""The places of all keys and values of one file, and the problems reported at them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from sitegen.reading.yaml.tree import (
    KeyPath,
    Node,
    Position,
    YamlMapping,
    YamlScalar,
    YamlSequence,
    child,
    describe_node,
    format_path,
)
from sitegen.records.problems import Problem, Severity


class Marks:
    """The places of the keys and values of one file."""

    def __init__(self, file: str, top: Node | Callable[[], Node | None] | None) -> None:
        """`file` names the file in messages. `top` is the parsed tree, or None if the file could not be parsed.

        `top` may be a function that parses the file when a place is first needed.
        """
        self.file = file
        self._source = top

    @cached_property
    def top(self) -> Node | None:
        """Return the parsed tree, or None if the file could not be parsed."""
        return self._source() if callable(self._source) else self._source

    def located(self, path: KeyPath) -> tuple[Marks, KeyPath]:
        """Return the places of the file that states a value, and the value's path in that file: this one."""
        return self, path

    def node(self, path: KeyPath) -> Node | None:
        """Return the YAML node at a path, or None if the file has no value there."""
        node = self.top
        for step in path:
            node = child(node, step) if node is not None else None
        return node

    def value_place(self, path: KeyPath) -> Position:
        """Return the position of the value at a path, or of the nearest group that exists above it."""
        while path and self.node(path) is None:
            path = path[:-1]
        node = self.node(path)
        return node.place if node is not None else Position(1, 1)

    def key_place(self, path: KeyPath) -> Position:
        """Return the position of the key at a path. For a list item, return the position of the value."""
        group = self.node(path[:-1]) if path else None
        entry = group.entries.get(str(path[-1])) if isinstance(group, YamlMapping) else None
        return entry.key_place if entry else self.value_place(path)

    def keys(self, path: KeyPath) -> tuple[str, ...]:
        """Return the keys of a group in file order, or an empty tuple."""
        node = self.node(path)
        return tuple(node.entries) if isinstance(node, YamlMapping) else ()

    def texts(self, path: KeyPath) -> tuple[str, ...]:
        """Return the single values of a list as written, or an empty tuple."""
        node = self.node(path)
        items = node.items if isinstance(node, YamlSequence) else []
        return tuple(item.written for item in items if isinstance(item, YamlScalar))

    def problem(
        self,
        path: KeyPath,
        expected: str,
        mend: str,
        *,
        found: str | None = None,
        at_key: bool = False,
        severity: Severity = Severity.ERROR,
    ) -> Problem:
        """Return a problem at the value, or at its key if `at_key`. `found` defaults to the value as written."""
        marks, own_path = self.located(path)
        place = marks.key_place(own_path) if at_key else marks.value_place(own_path)
        node = marks.node(own_path)
        words = found if found is not None else describe_node(node) if node is not None else "nothing"
        return Problem(marks.file, place.line, place.column, format_path(own_path), words, expected, mend, severity)
