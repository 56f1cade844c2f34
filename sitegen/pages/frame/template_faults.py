"""Check the syntax of a store's own templates before pages are rendered."""

from __future__ import annotations

from collections.abc import Iterator

from jinja2 import TemplateSyntaxError

from sitegen.pages.frame.theme import TEMPLATE, theme_environment
from sitegen.records.problems import Problem
from sitegen.shared_data import ThemeFolders

EXPECTED = "a template that can be used"
MEND = "compare it with the theme's own file of that name, or delete it to have that again"


def template_faults(folders: ThemeFolders) -> Iterator[Problem]:
    """Yield a problem for each of the store's own templates that has a syntax error."""
    environment = theme_environment(folders)
    for path, file in folders.own_files().items():
        if file.suffix != TEMPLATE:
            continue
        try:
            environment.compile(file.read_text("utf-8"), path)
        except TemplateSyntaxError as fault:
            yield syntax_problem(fault, path, folders)


def syntax_problem(fault: TemplateSyntaxError, path: str, folders: ThemeFolders) -> Problem:
    """Return a template's syntax error as a Problem at its line."""
    return Problem(folders.shown_as(path), fault.lineno, 1, "", str(fault.message), EXPECTED, MEND)
