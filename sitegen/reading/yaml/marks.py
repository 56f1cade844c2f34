"""Where everything stands in one file that was read, and the making of problems at those places."""

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
    found_words,
    where_words,
)
from sitegen.records.problems import Problem, Severity


class Marks:
    """The places of the keys and values of one file."""

    def __init__(self, file: str, top: Node | Callable[[], Node | None] | None) -> None:
        """`file` is how messages call it; `top` is None where it could not be read.

        Of a file that is seldom asked about, `top` is what reads it when it is.
        """
        self.file = file
        self._given = top

    @cached_property
    def _top(self) -> Node | None:
        return self._given() if callable(self._given) else self._given

    def node(self, path: KeyPath) -> Node | None:
        """Return what stands at a path, if anything does."""
        node = self._top
        for step in path:
            node = child(node, step) if node is not None else None
        return node

    def value_place(self, path: KeyPath) -> Position:
        """Return where a value begins; if it is not there, where the group that it belongs in begins."""
        while path and self.node(path) is None:
            path = path[:-1]
        node = self.node(path)
        return node.place if node is not None else Position(1, 1)

    def key_place(self, path: KeyPath) -> Position:
        """Return where the key of a value begins; for a place in a list, where the value begins."""
        group = self.node(path[:-1]) if path else None
        entry = group.entries.get(str(path[-1])) if isinstance(group, YamlMapping) else None
        return entry.key_place if entry else self.value_place(path)

    def keys(self, path: KeyPath) -> tuple[str, ...]:
        """Return the keys of a group, in the order of the file."""
        node = self.node(path)
        return tuple(node.entries) if isinstance(node, YamlMapping) else ()

    def texts(self, path: KeyPath) -> tuple[str, ...]:
        """Return the single values of a list, as they are written."""
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
        """Return a problem of the value, or of the key, at a path. What was found is the value unless it is given."""
        place = self.key_place(path) if at_key else self.value_place(path)
        node = self.node(path)
        words = found if found is not None else found_words(node) if node is not None else "nothing"
        return Problem(self.file, place.line, place.column, where_words(path), words, expected, mend, severity)
