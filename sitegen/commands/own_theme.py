"""What goes wrong in the files of a store's own `theme/` folder, told at its line like any other mistake there."""

from __future__ import annotations

import traceback
from pathlib import Path

from jinja2 import TemplateSyntaxError

from sitegen.records.problems import Problem

_MEND = "compare it with the theme's own file of that name, or delete it to have that again"


def own_theme_fault(fault: Exception, store: Path) -> Problem | None:
    """Return the problem in a store's own theme that made composing fail, or None if the fault is not there."""
    own = store / "theme"
    if isinstance(fault, UnicodeDecodeError):
        return next((_problem(file, 0, "bytes that are no UTF-8 text", store) for file in _not_text(own)), None)
    places = [(frame.filename, frame.lineno or 0) for frame in traceback.extract_tb(fault.__traceback__)]
    if isinstance(fault, TemplateSyntaxError):
        places.append((fault.filename or "", fault.lineno))
    inside = [(Path(file), line) for file, line in places if Path(file).is_relative_to(own)]
    return _problem(*inside[-1], str(fault), store) if inside else None


def _not_text(folder: Path) -> list[Path]:
    return [file for file in sorted(folder.rglob("*.html")) if not _is_text(file)]


def _is_text(file: Path) -> bool:
    try:
        file.read_text("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _problem(file: Path, line: int, found: str, store: Path) -> Problem:
    place = (file.relative_to(store).as_posix(), line, 1 if line else 0)
    return Problem(*place, "", found, "a template that the theme can use", _MEND)
