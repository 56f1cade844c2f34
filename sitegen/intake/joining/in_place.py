"""Edit a YAML text: replace or add values, and leave all other bytes unchanged. Pure.

Positions come from the YAML parser. All edits refer to the original text and are applied at the end. Inserted values
are written in flow style on one line.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import yaml

Path = tuple[str | int, ...]
"""Keys and list indexes from 0."""


class JoiningError(Exception):
    """Two records cannot be merged. The message says why."""


def tree_of(text: str) -> yaml.MappingNode:
    """Return the tree of a record in block style. Raises JoiningError for any other text."""
    tree = yaml.compose(text, Loader=yaml.SafeLoader)
    if not isinstance(tree, yaml.MappingNode) or tree.flow_style:
        raise JoiningError("a record is not written a key a line: join the two by hand")
    return tree


def at(node: yaml.Node | None, path: Path) -> yaml.Node | None:
    """Return the node at a path, or None."""
    for step in path:
        if isinstance(step, int):
            items = node.value if isinstance(node, yaml.SequenceNode) else ()
            node = items[step] if step < len(items) else None
        else:
            entries = node.value if isinstance(node, yaml.MappingNode) else ()
            node = next((value for name, value in entries if name.value == step), None)
    return node


def keys_of(node: yaml.Node | None) -> Iterator[str]:
    """Yield the keys of a mapping. Yield nothing for any other node."""
    for name, _ in node.value if isinstance(node, yaml.MappingNode) else ():
        yield str(name.value)


def flow_of(node: yaml.Node) -> str:
    """Return a value on one line, with its scalars as written."""
    if isinstance(node, yaml.MappingNode):
        return "{" + ", ".join(f"{flow_of(name)}: {flow_of(value)}" for name, value in node.value) + "}"
    if isinstance(node, yaml.SequenceNode):
        return "[" + ", ".join(flow_of(value) for value in node.value) + "]"
    if not isinstance(node, yaml.ScalarNode):
        raise JoiningError("a value is of no kind that a record has: join the two by hand")
    buffer = node.start_mark.buffer
    written = buffer[node.start_mark.pointer : node.end_mark.pointer] if buffer else ""
    is_plain = node.style is None and not set(written) & set(",[]{}") and not {": ", " #"} & _pairs(written)
    is_on_one_line = bool(written) and "\n" not in written and node.style in (None, "'", '"')
    return written if is_on_one_line and (is_plain or node.style) else json.dumps(node.value, ensure_ascii=False)


def _pairs(text: str) -> set[str]:
    return {text[place : place + 2] for place in range(len(text) - 1)}


@dataclass
class InPlace:
    """A text, and the edits to apply to it."""

    text: str
    tree: yaml.MappingNode = field(init=False)
    _changes: list[tuple[int, int, int, str]] = field(default_factory=list)
    """Start, end, column and text of each edit. Of two insertions at one position, the larger column comes first."""
    _new: dict[str, dict[str, str]] = field(default_factory=dict)
    """New top-level keys with their contents."""

    def __post_init__(self) -> None:
        self.tree = tree_of(self.text)

    def put(self, path: Path, value: str) -> None:
        """Set the value at a path, replacing the old value or adding a key."""
        node, above = at(self.tree, path), at(self.tree, path[:-1])
        if node is not None:
            self.replace(node, value)
        elif above is None and len(path) == 2:
            self._new.setdefault(str(path[0]), {})[str(path[1])] = value
        elif isinstance(above, yaml.MappingNode) and above.value:
            self._add_to(above, f"{path[-1]}:{value if value.startswith(chr(10)) else f' {value}'}")
        else:
            name = ".".join(map(str, path[:-1]))
            raise JoiningError(f"{name} cannot be added to: join the two by hand")

    def replace(self, node: yaml.Node, value: str) -> None:
        """Replace a node of the tree by a value."""
        self._changes.append((node.start_mark.index, _end_of(node, self.text), 0, value))

    def add(self, path: Path, values: Sequence[str]) -> None:
        """Append entries to a list, creating the list if needed."""
        node = at(self.tree, path)
        if isinstance(node, yaml.SequenceNode) and node.value:
            for value in values:
                self._add_to(node, value if node.flow_style else f"- {value}")
            return
        above = at(self.tree, path[:-1])
        if node is None and isinstance(above, yaml.CollectionNode) and not above.flow_style:
            dash = "\n" + " " * (above.start_mark.column + 2) + "- "
            self.put(path, "".join(dash + value for value in values))
        else:
            self.put(path, f"[{', '.join(values)}]")

    def _add_to(self, node: yaml.CollectionNode, value: str) -> None:
        """Insert a value after the last entry of a mapping or list, behind a comment on the same line."""
        end = _end_of_entries(node, self.text)
        between = ", "
        if not node.flow_style:
            rest = self.text[end:].partition("\n")[0]
            end += len(rest) if not rest.strip() or rest.strip().startswith("#") else 0
            between = "\n" + " " * node.start_mark.column
        self._changes.append((end, end, node.start_mark.column, f"{between}{value}"))

    def changed(self) -> str:
        """Return the text with all edits applied."""
        text = self.text
        numbered = [(-start, column, -number) for number, (start, _, column, _) in enumerate(self._changes)]
        for _, _, number in sorted(numbered):  # from the end, so that positions stay valid
            start, end, _, value = self._changes[-number]
            text = text[:start] + value + text[end:]
        for key, below in self._new.items():
            within = ", ".join(f"{name}: {value}" for name, value in below.items())
            text = f"{text.rstrip()}\n{key}: {{{within}}}\n"
        return text


def _end_of_entries(node: yaml.CollectionNode, text: str) -> int:
    last = node.value[-1]
    return _end_of(last[1] if isinstance(last, tuple) else last, text)


def _end_of(node: yaml.Node, text: str) -> int:
    """Return the real end of a value. The parser extends a block to the next token."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        return _end_of_entries(node, text)
    start, end = node.start_mark.index, node.end_mark.index
    return start + len(text[start:end].rstrip())
