"""References between files of a theme (templates, macros, scripts, fonts): find those that lead nowhere."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from sitegen.bundling import ENTRIES, published_name
from sitegen.reading.validation.did_you_mean import did_you_mean
from sitegen.records.problems import Problem
from sitegen.shared_data import ThemeFolders

COPY = "write it, or copy it from another theme"

_TEMPLATE = re.compile(r"\{%-?\s*(?:extends|include|from|import)\s+[\"']([^\"']+)")
"""Reference of a template to another template, by its path in the theme."""
_PUBLISHED = {
    ".html": re.compile(r"frame\.scripts\s*\}\}/([\w./-]+)"),
    ".mjs": re.compile(r"loadScript\(\s*[\"']([\w./-]+)"),
    ".css": re.compile(r"url\([\"']?(\w[\w.-]*)[\"']?\)"),
}
"""Reference to a published file, by file name alone, since all published files are in one folder."""
_IMPORTED = re.compile(r"^(?:import|export)\b(?:[\w\s{},*$]*\bfrom)?\s*[\"'](\.[\w./-]+)[\"']", re.MULTILINE)
"""Reference of a module to another module, by a relative path."""
_MACROS_TAKEN = re.compile(
    r"\{%-?\s*from\s+[\"']([^\"']+)[\"']\s+import\s+([^%]+?)(?:\s+with(?:out)?\s+context)?\s*-?%\}"
)
_MACRO = re.compile(r"\{%-?\s*(?:macro|set)\s+(\w+)")


@dataclass(frozen=True)
class _File:
    """A file of a theme that can refer to others."""

    path: str
    file: Path

    @cached_property
    def text(self) -> str:
        return self.file.read_text("utf-8", errors="replace")

    def named(self, pattern: re.Pattern[str]) -> Iterator[tuple[str, int, int]]:
        """Yield each name that the pattern matches, with its line and column."""
        for match in pattern.finditer(self.text):
            start = match.start(1)
            line = self.text.count("\n", 0, start) + 1
            yield match[1], line, start - self.text.rfind("\n", 0, start)


def find_broken_references(folders: ThemeFolders) -> Iterator[Problem]:
    """Yield a problem for each reference to a file or macro that the theme does not have."""
    files = folders.files()
    names = {path.rpartition("/")[2] for path in files}
    published = names | {published_name(path) for path in folders.files(ENTRIES)}
    naming = {path: _File(path, file) for path, file in files.items() if file.suffix in _PUBLISHED}
    for path, file in naming.items():
        shown = folders.shown_as(path)
        for name, line, column in file.named(_PUBLISHED[file.file.suffix]):
            if name not in published:
                yield _problem(shown, line, column, name, published)
        if file.file.suffix == ".html":
            for name, line, column in file.named(_TEMPLATE):
                if name not in files:
                    yield _problem(shown, line, column, name, files)
        if file.file.suffix == ".mjs":
            for name, line, column in file.named(_IMPORTED):
                imported = posixpath.normpath(posixpath.join(posixpath.dirname(path), name))
                if imported not in files:
                    yield _problem(shown, line, column, imported, files)
    yield from _missing_macros({path: file.text for path, file in naming.items()}, folders)


def _missing_macros(texts: Mapping[str, str], folders: ThemeFolders) -> Iterator[Problem]:
    """Yield a problem for each macro that a template imports and the imported template does not define."""
    for path, text in texts.items():
        for source, names in _MACROS_TAKEN.findall(text) if path.endswith(".html") else ():
            offered = set(_MACRO.findall(texts.get(source, "")))
            for name in (each.split()[0] for each in names.split(",")):
                if source in texts and name not in offered:
                    expected = f"the macro {name}, which {folders.shown_as(path)} takes from it"
                    mend = "write it, or take it over from the theme's own file of that name"
                    yield Problem(folders.shown_as(source), 0, 0, "", "no such macro", expected, mend)


def _problem(shown: str, line: int, column: int, name: str, there: Mapping[str, Path] | set[str]) -> Problem:
    mend = did_you_mean(name, there, COPY, likeness=0.9)  # Paths of components resemble each other.
    return Problem(shown, line, column, "", name, "the name of a file of the theme", mend)
