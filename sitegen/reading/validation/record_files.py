"""Read a YAML file into a record: text, tree, validation, and every problem on the way."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from pydantic import BaseModel

from sitegen.reading.validation.validating import validate
from sitegen.reading.yaml.files import read_text
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath, YamlMapping, describe_node
from sitegen.reading.yaml.yaml_tree import read_tree_in_part
from sitegen.records.problems import Problem

Model = TypeVar("Model", bound=BaseModel)


@dataclass(frozen=True)
class Reading(Generic[Model]):
    """The result of reading a file: a record, or its valid part, and the problems."""

    record: Model | None
    """None if the file has any problem."""
    sound_part: Model | None
    """The record without its invalid values, if it can do without them."""
    marks: Marks
    problems: tuple[Problem, ...]
    readable_part: Model | None = None
    """The record with stand-ins for required values that cannot be read. Only further checks run on it."""
    unread: frozenset[KeyPath] = frozenset()
    """Paths of the values that `readable_part` lacks or has a stand-in for."""


def read_record(model: type[Model], path: Path, shown_as: str) -> tuple[Model | None, Marks, list[Problem]]:
    """Read a YAML file into a record, and return the record, its marks and all problems. Nothing is raised.

    The record is None if there is any problem. `shown_as` names the file in messages.
    """
    reading = read_file(model, path, shown_as)
    return reading.record, reading.marks, list(reading.problems)


def read_file(model: type[Model], path: Path, shown_as: str, alternative: str = "") -> Reading[Model]:
    """Read a YAML file, keeping its valid part beside the problems.

    `alternative` is further advice for a missing or empty file, such as "delete it" if the file is optional.
    """
    text, problems = read_text(path, shown_as, alternative)
    if text is None:
        return Reading(None, None, Marks(shown_as, None), tuple(problems))
    top, form_problems, hidden = read_tree_in_part(text, shown_as, alternative)
    marks = Marks(shown_as, top)
    if top is None:
        return Reading(None, None, marks, tuple(form_problems))
    if not isinstance(top, YamlMapping):
        mend = "write each key at the beginning of a line, followed by a colon"
        wrong_top = marks.problem((), "keys and values (name: value)", mend, found=describe_node(top))
        return Reading(None, None, marks, (*form_problems, wrong_top))
    fitted = validate(model, top, marks, hidden)
    places = {(problem.line, problem.column) for problem in form_problems}
    others = {problem for problem in fitted.problems if (problem.line, problem.column) not in places}
    problems = sorted({*form_problems, *others})
    return Reading(
        None if problems else fitted.record,
        fitted.sound_part,
        marks,
        tuple(problems),
        fitted.readable_part,
        fitted.unread,
    )
