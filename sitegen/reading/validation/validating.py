"""A tree of YAML to a record, and each misfit to a problem at its place, in plain words.

Values are checked as strictly as JSON would be: a number is not text, text is not a number, and nothing else is true
or false. One exception: a number where text belongs (a date code, a model name) is taken as it was written.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from sitegen.reading.validation.did_you_mean import did_you_mean, nearest
from sitegen.reading.validation.expectations import Expectation, the_keys
from sitegen.reading.validation.misfits import misfit_words
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath, Node, YamlMapping, YamlScalar, child, plain_value
from sitegen.records.problems import Problem

Model = TypeVar("Model", bound=BaseModel)
Misfit = Mapping[str, Any]

MOST_TOLD = 200
"""Mistakes of one file: nobody mends more at a time, and to look for the word that was meant takes a while."""
_KEY_ITSELF = "[key]"
_MOST_KEYS_LISTED = 12
_WANTS_TEXT = {"string_type", "input_error"}


@dataclass(frozen=True)
class Fit(Generic[Model]):
    """How a tree fits a record type: the record, or the problems and what is left without what they are about."""

    record: Model | None
    sound_part: Model | None
    """The record without its faulty values, where it can do without them; the record itself if there are none."""
    problems: tuple[Problem, ...]


def fit(model: type[Model], top: Node, marks: Marks) -> Fit[Model]:
    """Check a tree against a record type."""
    record, misfits = _validate(model, top)
    if record is not None:
        return Fit(record, record, ())
    located = [(_path(top, misfit), misfit) for misfit in misfits]
    told = located[:MOST_TOLD]
    problems = [problem for path, misfit in told if (problem := _problem(model, marks, path, misfit, told))]
    if len(located) > MOST_TOLD:
        found = f"{len(located) - MOST_TOLD:,} more mistakes"
        expected = "a file of another kind, or a few mistakes at a time"
        mend = "check that this is the right file, mend what is told, and check again"
        problems.append(marks.problem(located[MOST_TOLD][0], expected, mend, found=found))
    return Fit(None, _sound_part(model, top, misfits), tuple(problems))


def _validate(model: type[Model], top: Node) -> tuple[Model | None, Sequence[Misfit]]:
    """Return the record or the misfits; numbers are given as text where text is wanted."""
    record, misfits = _validate_once(model, top, frozenset())
    nodes = [_node(top, _path(top, misfit)) for misfit in misfits if misfit["type"] in _WANTS_TEXT]
    as_text = frozenset(
        id(node) for node in nodes if isinstance(node, YamlScalar) and not isinstance(node.value, str | None)
    )
    if not as_text:
        return record, misfits
    record, misfits_as_text = _validate_once(model, top, as_text)
    input_errors = {misfit["loc"]: misfit for misfit in misfits if misfit["type"] == "input_error"}
    return record, [input_errors.get(misfit["loc"], misfit) for misfit in misfits_as_text]


def _validate_once(model: type[Model], top: Node, as_text: frozenset[int]) -> tuple[Model | None, Sequence[Misfit]]:
    try:
        return model.model_validate_json(json.dumps(plain_value(top, as_text)), strict=True), ()
    except ValidationError as fault:
        return None, fault.errors(include_url=False)


def _path(top: Node, misfit: Misfit) -> KeyPath:
    """Return the path of a misfit in the tree. Steps that name a kind of value, and not a place, are left out."""
    path: KeyPath = ()
    node: Node | None = top
    steps = misfit["loc"]
    for number, step in enumerate(steps):
        within = child(node, step) if node is not None else None
        if within is not None:
            path, node = (*path, step), within
        elif misfit["type"] == "missing" and number == len(steps) - 1:
            path = (*path, step)
    return path


def _problem(
    model: type[Model], marks: Marks, path: KeyPath, misfit: Misfit, all_of_them: Sequence[tuple[KeyPath, Misfit]]
) -> Problem | None:
    """Return the problem of a misfit; None where another problem says it already."""
    kind = misfit["type"]
    if kind == "too_short" and any(other[: len(path)] == path != other for other, _ in all_of_them):
        return None
    if kind == "missing":
        return None if _is_misspelt(path, all_of_them) else _missing(marks, path)
    if kind == "extra_forbidden":
        return _unknown_key(model, marks, path)
    if misfit["loc"][-1:] == (_KEY_ITSELF,):
        choices = Expectation(model, path[:-1]).key_choices()
        return marks.problem(
            path, *misfit_words(misfit, None, choices, ""), found=f'the key "{path[-1]}"', at_key=True
        )
    node = marks.node(path)
    if isinstance(node, YamlScalar) and node.value is None:
        return _nothing(model, marks, path, misfit)
    expectation = Expectation(model, path)
    return marks.problem(path, *misfit_words(misfit, node, expectation.choices(), expectation.words()))


def _missing(marks: Marks, path: KeyPath) -> Problem:
    return marks.problem(path, f'the key "{path[-1]}"', f'add "{path[-1]}: ..."', found="nothing")


def _nothing(model: type[Model], marks: Marks, path: KeyPath, misfit: Misfit) -> Problem:
    expectation = Expectation(model, path)
    expected, _ = misfit_words(misfit, None, expectation.choices(), expectation.words())
    is_needed = Expectation(model, path[:-1]).requires(str(path[-1]))
    mend = "write it after the colon" if is_needed else "write it, or leave the key out"
    return marks.problem(path, expected, mend, at_key=True)


def _is_misspelt(path: KeyPath, misfits: Sequence[tuple[KeyPath, Misfit]]) -> bool:
    """Whether a key that is missing stands there with a mistake in it."""
    return any(
        misfit["type"] == "extra_forbidden" and other[:-1] == path[:-1] and nearest(str(other[-1]), [str(path[-1])])
        for other, misfit in misfits
    )


def _unknown_key(model: type[Model], marks: Marks, path: KeyPath) -> Problem:
    """Return the problem of a key that nobody knows, with the nearest right one that is not there yet."""
    present = marks.keys(path[:-1])
    known = Expectation(model, path[:-1]).keys_without(str(path[-1]), present)
    unused = [key for key in known if key not in present]
    expected = "a key that sitegen knows" if len(known) > _MOST_KEYS_LISTED else f"{the_keys(known)}"
    mend = did_you_mean(str(path[-1]), unused, "delete it, or move it to where it belongs")
    return marks.problem(path, expected, mend, found=f'the key "{path[-1]}"', at_key=True)


def _sound_part(model: type[Model], top: Node, misfits: Sequence[Misfit]) -> Model | None:
    """Leave out what does not fit, then what cannot do without it, until the rest fits or nothing is left."""
    record = None
    while record is None:
        rest = _without(top, [_blamed(top, misfit) for misfit in misfits])
        if rest is None:
            return None
        top = rest
        record, misfits = _validate(model, top)
    return record


def _blamed(top: Node, misfit: Misfit) -> KeyPath:
    """Return what is to be left out so that the rest may be sound."""
    path = _path(top, misfit)
    return path[:-1] if misfit["type"] == "missing" else path


def _without(top: Node, blamed: Sequence[KeyPath]) -> Node | None:
    """Return the tree without some values; a list with a faulty entry is left out as a whole, so that none moves."""
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
    kept = YamlMapping(node.place)
    for key, entry in node.entries.items():
        if (*path, key) not in left_out:
            kept.entries[key] = type(entry)(entry.key_place, _pruned(entry.node, (*path, key), left_out))
    return kept


def _node(top: Node, path: KeyPath) -> Node | None:
    node: Node | None = top
    for step in path:
        node = child(node, step) if node is not None else None
    return node
