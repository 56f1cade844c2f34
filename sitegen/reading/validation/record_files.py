"""The one road from a YAML file to a record: text, tree, record, and every problem on the way."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from pydantic import BaseModel

from sitegen.reading.validation.validating import fit
from sitegen.reading.yaml.files import read_text
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import YamlMapping, found_words
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.problems import Problem

Model = TypeVar("Model", bound=BaseModel)


@dataclass(frozen=True)
class Reading(Generic[Model]):
    """What came of reading a file."""

    record: Model | None
    """None if the file has any problem."""
    sound_part: Model | None
    """The record without its faulty values, where it can do without them: enough to look for more problems."""
    marks: Marks
    problems: tuple[Problem, ...]


def read_record(model: type[Model], path: Path, shown_as: str) -> tuple[Model | None, Marks, list[Problem]]:
    """Read a YAML file into a record. Every problem is returned, none is raised; the record is None if there is one.

    `shown_as` is what messages call the file.
    """
    reading = read_file(model, path, shown_as)
    return reading.record, reading.marks, list(reading.problems)


def read_file(model: type[Model], path: Path, shown_as: str, otherwise: str = "") -> Reading[Model]:
    """Read a YAML file, and keep what is sound of it beside the problems.

    `otherwise` is what else may be done where there is no file, or nothing in it: "delete it", if it need not be.
    """
    text, problems = read_text(path, shown_as, otherwise)
    if text is None:
        return Reading(None, None, Marks(shown_as, None), tuple(problems))
    top, form_problems = read_tree(text, shown_as, otherwise)
    marks = Marks(shown_as, top)
    if top is None:
        return Reading(None, None, marks, tuple(form_problems))
    if not isinstance(top, YamlMapping):
        mend = "write each key at the beginning of a line, followed by a colon"
        wrong_top = marks.problem((), "keys and values (name: value)", mend, found=found_words(top))
        return Reading(None, None, marks, (*form_problems, wrong_top))
    fitted = fit(model, top, marks)
    problems = sorted({*form_problems, *fitted.problems})
    return Reading(None if problems else fitted.record, fitted.sound_part, marks, tuple(problems))
