"""Turn an exception in a template into a problem at the template's line."""

from __future__ import annotations

import traceback
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import jinja2
import markupsafe

from sitegen.commands.tasks.guard import FaultyVehiclesError
from sitegen.pages.frame import theme
from sitegen.pages.frame.template_faults import EXPECTED, MEND, syntax_problem
from sitegen.records.problems import Problem, ProblemsError
from sitegen.shared_data import ThemeFolders

_BENEATH_TEMPLATES = (Path(jinja2.__file__).parent, Path(markupsafe.__file__).parent, Path(theme.__file__))
"""Code that runs on behalf of a template. An exception raised here is the template's fault."""


def template_problem(fault: Exception, folders: ThemeFolders) -> Problem:
    """Return the problem in the template that raised an exception.

    Raise the exception again if other code raised it.
    """
    if isinstance(fault, jinja2.TemplateSyntaxError) and fault.name is not None:
        return syntax_problem(fault, fault.name, folders)
    for frame in reversed(traceback.extract_tb(fault.__traceback__)):
        file = Path(frame.filename)
        for folder in (folders.own, folders.shared):
            if file.is_relative_to(folder):
                place = (folders.shown_as(file.relative_to(folder).as_posix()), frame.lineno or 0, 1)
                return Problem(*place, "", str(fault), EXPECTED, MEND)
        if not any(file.is_relative_to(place) for place in _BENEATH_TEMPLATES):
            break
    raise fault


def missing_words_problems(fault: ProblemsError, folders: ThemeFolders) -> tuple[Problem, ...]:
    """Return the problems of missing messages.

    If the store's own template uses them, return a problem there instead.
    """
    for frame in reversed(traceback.extract_tb(fault.__traceback__)):
        file = Path(frame.filename)
        if file.is_relative_to(folders.own):
            shown, names = (
                folders.shown_as(file.relative_to(folders.own).as_posix()),
                {one.where for one in fault.problems},
            )
            found = f"words that content/ does not have: {', '.join(sorted(names))}"
            return (Problem(shown, frame.lineno or 0, 1, "", found, EXPECTED, MEND),)
    return fault.problems


def guard_problems(error: FaultyVehiclesError, folders: ThemeFolders) -> Iterator[Problem]:
    """Yield the problem of each exception: in the store's template that raised it, or in the vehicle's record."""
    for fault, problem in zip(error.faults.values(), error.problems, strict=True):
        try:
            found = template_problem(fault, folders)
        except Exception:  # raised by other code
            yield problem
            continue
        yield found if error.are_all else replace(found, found=f"{found.found}, with {problem.file}")
