"""Validate a YAML tree against a record type, and turn each validation error into a problem at its place.

Validation is as strict as for JSON: numbers are not text, text is not a number, only `true` and `false` are booleans.
One exception: a number where text is expected (a date code, a model name) is taken as it was written.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from sitegen.reading.validation.did_you_mean import did_you_mean, nearest
from sitegen.reading.validation.error_words import error_words
from sitegen.reading.validation.expectations import Expectation, the_keys
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath, Node, YamlMapping, YamlScalar, child, plain_value
from sitegen.records.problems import Problem

Model = TypeVar("Model", bound=BaseModel)
ErrorDetails = Mapping[str, Any]

MOST_REPORTED = 200
"""Greatest number of mistakes reported per file. Finding suggestions for more would take long and help nobody."""
_KEY_ITSELF = "[key]"
_MOST_KEYS_LISTED = 12
_ERRORS_OF_TEXT = {"string_type", "input_error"}


@dataclass(frozen=True)
class Validated(Generic[Model]):
    """Result of validating a tree: the record, or the problems and the valid part."""

    record: Model | None
    sound_part: Model | None
    """The record without its invalid values, if it can do without them. Equal to `record` if there is no problem."""
    problems: tuple[Problem, ...]


def validate(model: type[Model], top: Node, marks: Marks) -> Validated[Model]:
    """Validate a tree against a record type."""
    record, errors = _validate(model, top)
    if record is not None:
        return Validated(record, record, ())
    located = [(_path(top, error), error) for error in errors]
    reported = located[:MOST_REPORTED]
    problems = [problem for path, error in reported if (problem := _problem(model, marks, path, error, reported))]
    if len(located) > MOST_REPORTED:
        found = f"{len(located) - MOST_REPORTED:,} more mistakes"
        expected = "a file of another kind, or a few mistakes at a time"
        mend = "check that this is the right file, mend what is reported, and check again"
        problems.append(marks.problem(located[MOST_REPORTED][0], expected, mend, found=found))
    return Validated(None, _sound_part(model, top, errors), tuple(problems))


def _validate(model: type[Model], top: Node) -> tuple[Model | None, Sequence[ErrorDetails]]:
    """Return the record, or the validation errors. Numbers are passed as text where text is expected."""
    record, errors = _validate_once(model, top, frozenset())
    nodes = [_node(top, _path(top, error)) for error in errors if error["type"] in _ERRORS_OF_TEXT]
    as_text = frozenset(
        id(node) for node in nodes if isinstance(node, YamlScalar) and not isinstance(node.value, str | None)
    )
    if not as_text:
        return record, errors
    record, errors_as_text = _validate_once(model, top, as_text)
    input_errors = {error["loc"]: error for error in errors if error["type"] == "input_error"}
    return record, [input_errors.get(error["loc"], error) for error in errors_as_text]


def _validate_once(
    model: type[Model], top: Node, as_text: frozenset[int]
) -> tuple[Model | None, Sequence[ErrorDetails]]:
    try:
        return model.model_validate_json(json.dumps(plain_value(top, as_text)), strict=True), ()
    except ValidationError as fault:
        return None, fault.errors(include_url=False)


def _path(top: Node, error: ErrorDetails) -> KeyPath:
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


def _problem(
    model: type[Model],
    marks: Marks,
    path: KeyPath,
    error: ErrorDetails,
    all_errors: Sequence[tuple[KeyPath, ErrorDetails]],
) -> Problem | None:
    """Return the problem for an error, or None if another problem already covers it."""
    kind = error["type"]
    if kind == "too_short" and any(other[: len(path)] == path != other for other, _ in all_errors):
        return None
    if kind == "missing":
        return None if _is_misspelt(path, all_errors) else _missing(marks, path)
    if kind == "extra_forbidden":
        return _unknown_key(model, marks, path)
    if error["loc"][-1:] == (_KEY_ITSELF,):
        choices = Expectation(model, path[:-1]).key_choices()
        return marks.problem(path, *error_words(error, None, choices, ""), found=f'the key "{path[-1]}"', at_key=True)
    node = marks.node(path)
    if isinstance(node, YamlScalar) and node.value is None:
        return _nothing(model, marks, path, error)
    expectation = Expectation(model, path)
    return marks.problem(path, *error_words(error, node, expectation.choices(), expectation.words()))


def _missing(marks: Marks, path: KeyPath) -> Problem:
    return marks.problem(path, f'the key "{path[-1]}"', f'add "{path[-1]}: ..."', found="nothing")


def _nothing(model: type[Model], marks: Marks, path: KeyPath, error: ErrorDetails) -> Problem:
    expectation = Expectation(model, path)
    expected, _ = error_words(error, None, expectation.choices(), expectation.words())
    is_needed = Expectation(model, path[:-1]).requires(str(path[-1]))
    mend = "write it after the colon" if is_needed else "write it, or leave the key out"
    return marks.problem(path, expected, mend, at_key=True)


def _is_misspelt(path: KeyPath, errors: Sequence[tuple[KeyPath, ErrorDetails]]) -> bool:
    """Return whether an unknown key beside a missing one is probably that key misspelled."""
    return any(
        error["type"] == "extra_forbidden" and other[:-1] == path[:-1] and nearest(str(other[-1]), [str(path[-1])])
        for other, error in errors
    )


def _unknown_key(model: type[Model], marks: Marks, path: KeyPath) -> Problem:
    """Return the problem for an unknown key, suggesting the nearest valid key that is not yet present."""
    present = marks.keys(path[:-1])
    valid_keys = Expectation(model, path[:-1]).keys_without(str(path[-1]), present)
    unused = [key for key in valid_keys if key not in present]
    expected = "a key that sitegen knows" if len(valid_keys) > _MOST_KEYS_LISTED else f"{the_keys(valid_keys)}"
    otherwise = "delete it, or move it to where it belongs; `sitegen help record` lists the keys"
    mend = did_you_mean(str(path[-1]), unused, otherwise)
    return marks.problem(path, expected, mend, found=f'the key "{path[-1]}"', at_key=True)


def _sound_part(model: type[Model], top: Node, errors: Sequence[ErrorDetails]) -> Model | None:
    """Return the valid part of a record, or None.

    Invalid values are removed, then groups that require them, until the rest is valid or nothing is left.
    """
    record = None
    while record is None:
        rest = _without(top, [_blamed(top, error) for error in errors])
        if rest is None:
            return None
        top = rest
        record, errors = _validate(model, top)
    return record


def _blamed(top: Node, error: ErrorDetails) -> KeyPath:
    """Return the path to remove so that the rest may be valid."""
    path = _path(top, error)
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


def _node(top: Node, path: KeyPath) -> Node | None:
    node: Node | None = top
    for step in path:
        node = child(node, step) if node is not None else None
    return node
