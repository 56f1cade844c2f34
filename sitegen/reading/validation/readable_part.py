"""The part of a faulty file that can be read, for further checks: wrong values are left out or replaced by stand-ins.

The sound part is without any stand-in, and may be missing. The readable part has a stand-in for each required value
that cannot be read, so that one wrong day does not hide every other mistake of the file.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from sitegen.reading.validation.did_you_mean import plain_word
from sitegen.reading.validation.expectations import Expectation
from sitegen.reading.validation.stand_ins import stand_in
from sitegen.reading.yaml.tree import Entry, KeyPath, Node, YamlMapping, YamlScalar, YamlSequence, child, plain_value

Model = TypeVar("Model", bound=BaseModel)
ErrorDetails = Mapping[str, Any]

_ERRORS_OF_TEXT = {"string_type", "input_error"}
_MOST_ROUNDS = 30
HIDDEN = "?"
"""The last step of a path in `unread` for entries of a group that a syntax error hides."""


@dataclass(frozen=True)
class ReadablePart(Generic[Model]):
    """A record that may have stand-ins, the paths of all that could not be read, and errors found on the way."""

    record: Model | None
    unread: frozenset[KeyPath]
    later_errors: tuple[tuple[KeyPath, ErrorDetails], ...] = ()
    """Errors of groups that were only checked after their wrong values were left out."""


def readable_part(
    model: type[Model], top: Node, errors: Sequence[ErrorDetails], hidden: Collection[KeyPath] = ()
) -> ReadablePart[Model]:
    """Return the part of a tree that can be read. `hidden` are paths that a syntax error hides."""
    unread, later = set(hidden), dict[tuple[KeyPath, str], tuple[KeyPath, ErrorDetails]]()
    tree = _copy(top)
    first = {path_of(top, error) for error in errors}
    for _ in range(_MOST_ROUNDS):
        for error in errors:
            path = path_of(tree, error)
            if error["type"] != "missing" and path not in first and not is_unread(path, unread, also_above=True):
                later[path, error["type"]] = path, error
        for path in sorted({path_of(tree, error) for error in errors}, key=len):
            path = _mend(model, tree, path, unread)
            if path == ():
                return ReadablePart(None, frozenset(unread), tuple(later.values()))
            unread.add(path)
        record, errors = validated(model, tree)
        if record is not None:
            return ReadablePart(record, frozenset(unread), tuple(later.values()))
    return ReadablePart(None, frozenset(unread), tuple(later.values()))


def is_unread(path: KeyPath, unread: Collection[KeyPath], *, also_above: bool = False) -> bool:
    """Return whether a value could not be read, or is within one. `also_above`: or has one within itself."""
    return any(path[: len(each)] == each or (also_above and each[: len(path)] == path) for each in unread)


def _mend(model: type[BaseModel], tree: Node, path: KeyPath, unread: Collection[KeyPath]) -> KeyPath:
    """Leave out the value at a path, or put a stand-in there. Return the path of what was changed; () is the whole.

    What is wrong again after it was changed is left out together with the group around it.
    """
    while path in unread and path:
        path = path[:-1]
    if not path:
        return ()
    group, step = _node(tree, path[:-1]), path[-1]
    wrong = _node(tree, path)
    written = wrong.written if isinstance(wrong, YamlScalar) else ""
    annotation = Expectation(model, path).annotation()
    place = (wrong or group or tree).place
    if isinstance(group, YamlMapping):
        needed = Expectation(model, path[:-1]).requires(str(step))
        node = stand_in(annotation, str(step), written, place) if needed else None
        if node is None:
            group.entries.pop(str(step), None)
            return _mend(model, tree, path[:-1], unread) if needed else path
        group.entries[str(step)] = Entry(place, node)
        return path
    if isinstance(group, YamlSequence) and isinstance(step, int) and step < len(group.items):
        node = stand_in(annotation, str(path[-2]) if len(path) > 1 else "", written, place)
        if node is not None:
            group.items[step] = node
            return path
    return _mend(model, tree, path[:-1], unread)


def sound_part(model: type[Model], top: Node, errors: Sequence[ErrorDetails]) -> Model | None:
    """Return the valid part of a record, or None.

    Invalid values are removed, then groups that require them, until the rest is valid or nothing is left.
    """
    record = None
    while record is None:
        rest = _without(top, [_blamed(top, error) for error in errors])
        if rest is None:
            return None
        top = rest
        record, errors = validated(model, top)
    return record


def validated(model: type[Model], top: Node) -> tuple[Model | None, Sequence[ErrorDetails]]:
    """Return the record, or the validation errors. Numbers are passed as text where text is expected.

    A fixed word in another case, or with other signs between its parts, is taken for the word: `For-Sale`, `SUV`.
    """
    record, errors = _validate_once(model, top, frozenset())
    respelled = [_respell_word(model, top, path_of(top, error)) for error in errors]
    if any(respelled):
        record, errors = _validate_once(model, top, frozenset())
    nodes = [_node(top, path_of(top, error)) for error in errors if error["type"] in _ERRORS_OF_TEXT]
    as_text = frozenset(
        id(node) for node in nodes if isinstance(node, YamlScalar) and not isinstance(node.value, str | None)
    )
    if not as_text:
        return record, errors
    record, errors_as_text = _validate_once(model, top, as_text)
    input_errors = {error["loc"]: error for error in errors if error["type"] == "input_error"}
    return record, [input_errors.get(error["loc"], error) for error in errors_as_text]


def _respell_word(model: type[BaseModel], top: Node, path: KeyPath) -> bool:
    """Put a fixed word in place of another spelling of it. Return whether there is one."""
    node = _node(top, path)
    if not isinstance(node, YamlScalar) or not path:
        return False
    word = plain_word(node.written.strip())
    for choice in Expectation(model, path).choices():
        if plain_word(choice) == word and choice != node.written:
            node.written = choice
            return True
    return False


def _validate_once(
    model: type[Model], top: Node, as_text: frozenset[int]
) -> tuple[Model | None, Sequence[ErrorDetails]]:
    try:
        return model.model_validate_json(json.dumps(plain_value(top, as_text)), strict=True), ()
    except ValidationError as fault:
        return None, fault.errors(include_url=False)


def path_of(top: Node, error: ErrorDetails) -> KeyPath:
    """Return the path of an error in the tree. Steps that name a member of a union are left out."""
    path: KeyPath = ()
    node: Node | None = top
    steps = error["loc"]
    for number, step in enumerate(steps):
        within = child(node, step) if node is not None else None
        if within is not None:
            path, node = (*path, step), within
        elif error["type"] == "missing" and number == len(steps) - 1:
            path = (*path, step)
    return path


def _blamed(top: Node, error: ErrorDetails) -> KeyPath:
    """Return the path to remove so that the rest may be valid."""
    path = path_of(top, error)
    return path[:-1] if error["type"] == "missing" else path


def _without(top: Node, blamed: Sequence[KeyPath]) -> Node | None:
    """Return the tree without the given values, or None if the whole tree is one of them.

    A list with an invalid item is removed whole: indexes stay valid.
    """
    if any(not path for path in blamed):
        return None
    outermost = {
        path[: next((place for place, step in enumerate(path) if isinstance(step, int)), len(path))]
        for path in blamed
    }
    return _pruned(top, (), outermost)


def _pruned(node: Node, path: KeyPath, left_out: set[KeyPath]) -> Node:
    if not isinstance(node, YamlMapping):
        return node
    remaining = YamlMapping(node.place)
    for key, entry in node.entries.items():
        if (*path, key) not in left_out:
            remaining.entries[key] = type(entry)(entry.key_place, _pruned(entry.node, (*path, key), left_out))
    return remaining


def _copy(node: Node) -> Node:
    """Return a copy of a tree whose groups and lists may be changed."""
    if isinstance(node, YamlMapping):
        entries = {key: Entry(entry.key_place, _copy(entry.node)) for key, entry in node.entries.items()}
        return YamlMapping(node.place, entries)
    return YamlSequence(node.place, [_copy(item) for item in node.items]) if isinstance(node, YamlSequence) else node


def _node(top: Node, path: KeyPath) -> Node | None:
    node: Node | None = top
    for step in path:
        node = child(node, step) if node is not None else None
    return node
