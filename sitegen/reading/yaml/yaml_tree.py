"""Parse YAML text into a tree with positions. Strict: unique keys, one document, no anchors, no aliases, no tags.

The tree is built from PyYAML's events, so that no value is converted on the way. Anchors and aliases are rejected: a
copied figure was not measured, and nested aliases can expand without bound.
"""

from __future__ import annotations

from typing import Any

import yaml

from sitegen.reading.yaml.files import SIGNS_OF_TEXT, find_invisible_character
from sitegen.reading.yaml.parser_errors import parser_problem
from sitegen.reading.yaml.recovery import HiddenLines, hidden_lines
from sitegen.reading.yaml.tree import Entry, Node, Position, YamlMapping, YamlScalar, YamlSequence
from sitegen.records.problems import Problem

try:
    from yaml import CSafeLoader as Loader
except ImportError:  # PyYAML without its C library is slower and emits the same events.
    from yaml import SafeLoader as Loader  # type: ignore[assignment]

DEEPEST = 30
"""Deepest nesting that is accepted. Records have fewer than ten levels."""


def read_tree(text: str, file: str, alternative: str = "") -> tuple[Node | None, list[Problem]]:
    """Parse the text. Return its tree and every problem of form; the tree is None if the text has a syntax error.

    `alternative` is further advice for an empty file.
    """
    builder, fault = _built(text, file)
    if fault is not None:
        return None, [*builder.problems, parser_problem(fault, text, file)]
    return builder.result(alternative)


def read_tree_in_part(
    text: str, file: str, alternative: str = ""
) -> tuple[Node | None, list[Problem], tuple[HiddenLines, ...]]:
    """Parse the text as `read_tree` does, without the lines that have a syntax error. Return also these lines."""
    builder, fault = _built(text, file)
    if fault is None:
        return *builder.result(alternative), ()
    first = parser_problem(fault, text, file)
    rest, hidden = hidden_lines(text)
    builder, still = _built(rest, file) if hidden else (builder, fault)
    if still is not None or builder.top is None:
        return None, [*builder.problems, first], ()
    problems = [parser_problem(each.fault, each.parsed, file) for each in hidden]
    # The first error of the whole text is worded better than that of the block in which it is.
    others = [problem for problem in problems if problem.line >= hidden[0].stop + 1]
    return builder.top, [*builder.problems, first, *others], hidden


def _built(text: str, file: str) -> tuple[_Builder, yaml.MarkedYAMLError | None]:
    """Return the builder after the whole text, and the syntax error that ended it, or None."""
    builder = _Builder(file)
    try:
        loader = Loader(text)
        while (event := loader.get_event()) is not None:
            if isinstance(event, yaml.ScalarEvent):  # the most frequent event
                builder.put_scalar(event)
            elif not builder.take(event):
                break
    except yaml.MarkedYAMLError as fault:
        return builder, fault
    return builder, None


class _Builder:
    """Builds the tree from one event after another."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.top: Node | None = None
        self.problems: list[Problem] = []
        self._open: list[_OpenGroup | YamlSequence] = []
        self._documents = 0
        self._is_too_deep = False

    def result(self, alternative: str) -> tuple[Node | None, list[Problem]]:
        """Return the tree, or None if it is empty or too deep, and the problems."""
        if self._is_too_deep:
            return None, self.problems
        if self.top is None or (isinstance(self.top, YamlScalar) and self.top.value is None):
            mend = f"fill it in{alternative and f', or {alternative}'}"
            self.add_problem(Position(1, 1), "an empty file", "keys and values", mend)
            return None, self.problems
        return self.top, self.problems

    def take(self, event: Any) -> bool:
        """Add any event but a scalar to the tree. Return whether to continue."""
        if isinstance(event, yaml.CollectionEndEvent):
            closed = self._open.pop()
            if isinstance(closed, _OpenGroup):
                closed.close(self)
            return True
        place = _place(event.start_mark)
        if isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self.add_problem(place, "a second document", "one record in a file", "move it to a file of its own")
                return False
        elif isinstance(event, yaml.AliasEvent):
            expected = "the value itself, for each was measured by itself"
            self.add_problem(place, f"a reference (*{event.anchor})", expected, "write the value out here")
            self._attach(YamlScalar(place, f"*{event.anchor}", plain=True), event.end_mark)
        elif isinstance(event, yaml.NodeEvent):
            self._check_extras(event, place)
            return self._open_group(event, place)
        return True

    def add_problem(self, place: Position, found: str, expected: str, mend: str) -> None:
        self.problems.append(Problem(self.file, place.line, place.column, "", found, expected, mend))

    def _check_extras(self, event: Any, place: Position) -> None:
        if event.anchor:
            self.add_problem(place, f"an anchor (&{event.anchor})", "a value without one", f"delete &{event.anchor}")
        if event.tag:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            mend = "delete it, and put the value in quotes if it must be text"
            self.add_problem(place, f"a tag ({tag})", "a value without one", mend)

    def put_scalar(self, event: Any) -> None:
        """Add a scalar, which may be a key."""
        place = _place(event.start_mark)
        if event.anchor or event.tag:
            self._check_extras(event, place)
        # Escapes exist only in double quotes. Unescaped invisible characters are reported by `read_text`.
        if event.style == '"' and (unseen := find_invisible_character(event.value)):
            self.add_problem(place, f"{unseen[0]}, written as an escape", SIGNS_OF_TEXT, "delete it")
        self._attach(YamlScalar(place, event.value, not event.style), event.end_mark)

    def _open_group(self, event: Any, place: Position) -> bool:
        if len(self._open) >= DEEPEST:
            mend = "close the brackets that are open, or check the indentation"
            self.add_problem(place, f"more than {DEEPEST} levels", "a few levels of keys and lists", mend)
            self._is_too_deep = True
            return False
        if isinstance(event, yaml.SequenceStartEvent):
            listing = YamlSequence(place)
            self._attach(listing, event.start_mark)
            self._open.append(listing)
        else:
            group = YamlMapping(place)
            self._attach(group, event.start_mark)
            self._open.append(_OpenGroup(group, bool(event.flow_style)))
        return True

    def _attach(self, node: Node, end: Any) -> None:
        """Add a node to the open group. `end` is the parser's mark at the end of the node."""
        parent = self._open[-1] if self._open else None
        if isinstance(parent, _OpenGroup):
            parent.take(node, end, self)
        elif parent is None:
            self.top = node
        else:
            parent.items.append(node)


class _OpenGroup:
    """A mapping under construction, which receives keys and values in turn."""

    __slots__ = ("_key", "_key_end", "_last", "_last_end", "_was_cut", "group", "in_braces")

    def __init__(self, group: YamlMapping, in_braces: bool) -> None:
        self.group = group
        self.in_braces = in_braces
        self._key: Node | None = None
        self._key_end: Any = None
        self._last: YamlScalar | None = None
        self._last_end: Any = None
        self._was_cut = False

    def take(self, node: Node, end: Any, builder: _Builder) -> None:
        """Receive a key, or the value of the key received before."""
        key = self._key
        if key is None:
            self._key, self._key_end = node, end
            return
        self._key = None
        if not isinstance(key, YamlScalar):
            builder.add_problem(
                key.place, "a list or group as a key", "a word as a key", "begin the line with the key"
            )
        elif not self.in_braces:
            self._add(key, node, builder)
        elif _is_nothing_at(node, self._key_end):
            self._take_rest(key, builder)
        else:
            self.close(builder)
            self._add(key, node, builder)
            self._last, self._last_end = (node, end) if isinstance(node, YamlScalar) and node.plain else (None, None)

    def close(self, builder: _Builder) -> None:
        """Report the last value if it was cut at a comma."""
        if self._was_cut and self._last is not None:
            expected = "quotes round a value with a comma, where it stands inside { }"
            whole = self._last.written
            builder.add_problem(self._last.place, f"{whole}, cut at the comma", expected, f'write "{whole}"')
        self._was_cut = False

    def _add(self, key: YamlScalar, node: Node, builder: _Builder) -> None:
        entries = self.group.entries
        earlier = entries.get(key.written)
        if earlier is None:
            entries[key.written] = Entry(key.place, node)
            return
        found = f'the key "{key.written}" again, first on line {earlier.key_place.line}'
        builder.add_problem(key.place, found, "each key once", "delete one of the two, or put both into one")

    def _take_rest(self, rest: YamlScalar, builder: _Builder) -> None:
        """Append text after a comma to the value before it, as in `{reading: 88,900 mi}`, and go on."""
        if self._last is None or self._last_end is None:
            builder.add_problem(
                rest.place, f'"{rest.written}" without a colon', "a key, a colon and a value", "add the value"
            )
            return
        follows_at_once = _place(self._last_end) == Position(rest.place.line, rest.place.column - 1)
        self._last.written += ("," if follows_at_once else ", ") + rest.written
        self._last_end = self._key_end
        self._was_cut = True


def _is_nothing_at(node: Node, mark: Any) -> bool:
    """Return whether a value is empty and starts right at a mark. Its key then has no colon either."""
    return isinstance(node, YamlScalar) and node.plain and not node.written and node.place == _place(mark)


def _place(mark: Any) -> Position:
    # Called for every value; Position(...) would take twice as long.
    return tuple.__new__(Position, (mark.line + 1, mark.column + 1))
