"""Validate a YAML tree against a record type, and turn each validation error into a problem at its place.

Validation is as strict as for JSON: numbers are not text, text is not a number, only `true` and `false` are booleans.
One exception: a number where text is expected (a date code, a model name) is taken as it was written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel

from sitegen.reading.validation.did_you_mean import did_you_mean, nearest
from sitegen.reading.validation.error_words import error_words
from sitegen.reading.validation.expectations import Expectation, the_keys
from sitegen.reading.validation.readable_part import (
    HIDDEN,
    ReadablePart,
    path_of,
    readable_part,
    sound_part,
    validated,
)
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.recovery import HiddenLines
from sitegen.reading.yaml.tree import KeyPath, Node, YamlMapping, YamlScalar, child
from sitegen.records.problems import Problem

Model = TypeVar("Model", bound=BaseModel)
ErrorDetails = Mapping[str, Any]

MOST_REPORTED = 200
"""Greatest number of mistakes reported per file. Finding suggestions for more would take long and help nobody."""
_KEY_ITSELF = "[key]"
_MOST_KEYS_LISTED = 12


@dataclass(frozen=True)
class Validated(Generic[Model]):
    """Result of validating a tree: the record, or the problems and the valid part."""

    record: Model | None
    sound_part: Model | None
    """The record without its invalid values, if it can do without them. Equal to `record` if there is no problem."""
    readable_part: Model | None
    """The record with a stand-in for each required value that cannot be read, for further checks."""
    problems: tuple[Problem, ...]
    unread: frozenset[KeyPath] = frozenset()
    """Paths of the values that `readable_part` lacks or has a stand-in for."""


def validate(model: type[Model], top: Node, marks: Marks, hidden: Sequence[HiddenLines] = ()) -> Validated[Model]:
    """Validate a tree against a record type. `hidden` are lines with a syntax error, which the tree lacks.

    A misspelled key is added to the tree a second time as it is spelled right, so that its value is checked too.
    """
    record, errors = validated(model, top)
    if record is not None and not hidden:
        return Validated(record, record, record, ())
    located = [(path_of(top, error), error) for error in errors]
    hidden_paths = _hidden_paths(top, hidden)
    if hidden:
        hidden_keys = frozenset(key for each in hidden for key in each.keys)
        located = [each for each in located if each[1]["type"] != "missing" or str(each[0][-1]) not in hidden_keys]
    reported = located[:MOST_REPORTED]
    problems = [problem for path, error in reported if (problem := _problem(model, marks, path, error, reported))]
    if len(located) > MOST_REPORTED:
        found = f"{len(located) - MOST_REPORTED:,} more mistakes"
        expected = "a file of another kind, or a few mistakes at a time"
        mend = "check that this is the right file, mend what is reported, and check again"
        problems.append(marks.problem(located[MOST_REPORTED][0], expected, mend, found=found))
        return Validated(None, None, None, tuple(problems))
    sound = None if hidden_paths else sound_part(model, top, errors)
    renamed = [path for path, error in located if error["type"] == "extra_forbidden" and _respell(model, top, path)]
    if renamed:
        record, errors = validated(model, top)
    part = readable_part(model, top, errors, hidden_paths) if record is None else ReadablePart(record, hidden_paths)
    already = {path for path, _ in located}
    renewed = [(path, error) for error in errors if (path := path_of(top, error)) not in already] if renamed else []
    later = [each for each in (*renewed, *part.later_errors) if each[1]["type"] != "extra_forbidden" or renamed]
    problems += [problem for path, error in later if (problem := _problem(model, marks, path, error, later))]
    return Validated(None, sound, part.record, tuple(dict.fromkeys(problems)), part.unread)


def _hidden_paths(top: Node, hidden: Sequence[HiddenLines]) -> frozenset[KeyPath]:
    """Return a path for each hidden line: of the key at the top of the file, or of an entry within such a key."""
    paths: set[KeyPath] = set()
    sections = sorted(
        ((entry.key_place.line - 1, key) for key, entry in top.entries.items())
        if isinstance(top, YamlMapping)
        else ()
    )
    for each in hidden:
        starts_at_top = not each.text.startswith((" ", "-"))
        above = [key for line, key in sections if line <= each.start]
        if starts_at_top or not above:
            paths |= {(key,) for key in each.keys} or {(HIDDEN,)}
        else:
            paths.add((above[-1], HIDDEN))
    return frozenset(paths)


def _respell(model: type[BaseModel], top: Node, path: KeyPath) -> bool:
    """Add the value of a misspelled key to its group under the right key too. Return whether there is one."""
    group: Node | None = top
    for step in path[:-1]:
        group = child(group, step) if group is not None else None
    if not isinstance(group, YamlMapping) or str(path[-1]) not in group.entries:
        return False
    present = tuple(group.entries)
    valid = Expectation(model, path[:-1]).keys_without(str(path[-1]), present)
    right = nearest(str(path[-1]), [key for key in valid if key not in present])
    if right is None:
        return False
    group.entries[right] = group.entries[str(path[-1])]
    return True


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
