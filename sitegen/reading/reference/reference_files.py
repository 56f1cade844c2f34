"""Read one reference file that ships with sitegen. An error in it is a bug of ours, so it raises."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

from sitegen.reading.validation.record_files import read_record

Model = TypeVar("Model", bound=BaseModel)


def read_reference(model: type[Model], content: Path, name: str) -> Model:
    """Return the contents of `content/reference/<name>`. Raises ValueError with every problem if it is invalid."""
    return _read(model, content / "reference" / name, name)


def read_content(model: type[Model], content: Path, name: str) -> Model:
    """Return the contents of `content/<name>`. Raises ValueError with every problem if it is invalid."""
    return _read(model, content / name, name)


def _read(model: type[Model], file: Path, name: str) -> Model:
    record, _, problems = read_record(model, file, name)
    if record is None:
        raise ValueError("\n".join(problem.as_line() for problem in problems))
    return record
