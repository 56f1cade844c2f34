"""Read the pages that a store writes itself: `pages/*.md`, and `pages/<language>/*.md` for other languages."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.validation.texts import find_excess
from sitegen.reading.yaml.files import place_of, read_text
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import OwnPage

_RESERVED = ("assets", "browse", "compare", "data", "inventory", "kept", "pictures", "vehicles", "videos")
"""Names of folders on the site, which no page may have. Each language but the first has a folder too."""

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_TITLE = re.compile(r"^#[ \t]+(.*?)[ \t#]*$", re.MULTILINE)


def read_own_pages(store: Path, languages: Sequence[str]) -> tuple[tuple[OwnPage, ...], list[Problem]]:
    """Return the store's own pages in order of language and name, and all their problems.

    `languages` are the site's languages, the store's own first. If empty, only the pages in the first are read.
    """
    pages: list[OwnPage] = []
    problems: list[Problem] = []
    folder = store / "pages"
    if not folder.is_dir():
        return (), []
    for path in sorted(folder.iterdir()):
        if languages and path.is_dir() and path.name not in languages:
            mend = "add the language to site.yaml, or rename the folder"
            expected = f"a folder named after a language of the site ({listed(languages)})"
            problems.append(
                Problem(f"pages/{path.name}", 0, 0, "", "another folder", expected, mend, Severity.WARNING)
            )
    for place, language in enumerate(languages or ("",)):
        for path in _files(folder / language if place else folder):
            shown_as = path.relative_to(store).as_posix()
            page, of_page = _read_page(path, shown_as, language)
            if path.stem in (*languages, *_RESERVED):
                expected = "a name that no folder of the site has"
                of_page = [
                    *of_page,
                    Problem(shown_as, 0, 0, "", f"the name {path.name}", expected, "rename the file"),
                ]
            pages += [page] if page is not None else []
            problems += of_page
    return tuple(pages), problems


def _files(folder: Path) -> Iterator[Path]:
    return iter(sorted(folder.glob("*.md"))) if folder.is_dir() else iter(())


def _read_page(path: Path, shown_as: str, language: str) -> tuple[OwnPage | None, list[Problem]]:
    """Return one page, or None, and its problems. The first heading is the title and the rest is the text."""
    text, problems = read_text(path, shown_as)
    if text is None:
        return None, problems
    if not _NAME.fullmatch(path.stem):
        expected = "a name of small letters and digits, with single hyphens between (how-we-inspect.md)"
        mend = "rename the file, for its name becomes part of the page's address"
        problems.append(Problem(shown_as, 0, 0, "", f"the name {path.name}", expected, mend))
    title = _TITLE.search(text)
    if title is None or not title[1]:
        line = place_of(text[: title.start()])[0] if title is not None else 1
        found = "a heading without words" if title is not None else "no heading"
        expected, mend = "the page's title, as a line that begins with # and a space", "write it as the first line"
        problems.append(Problem(shown_as, line, 1, "", found, expected, mend))
    if excess := find_excess(text):
        found, expected, line = excess
        problems.append(Problem(shown_as, line, 1, "", found, expected, "shorten it, or make it two pages"))
    if problems or title is None:
        return None, problems
    return OwnPage(path.stem, language, title[1], (text[: title.start()] + text[title.end() :]).strip() + "\n"), []
