"""Messages of the bay page: those of the catalog, and those that its scripts name.

A script names a message as `say.pressure` or `vocabulary.words.pressure`: the message `bay.pressure`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from sitegen.pages.language.catalog import Catalog
from sitegen.records.problems import Problem
from sitegen.shared_data import ThemeFolders

_PREFIX = "bay."
_SCRIPTS = ("bay/*.js", "bay/*/*.js")
_NAMED = re.compile(r"(?<![\w.])(?:say|vocabulary\.words)\.(\w+)")


def labels(catalog: Catalog) -> dict[str, str]:
    """Return every message of the bay page by its name in the scripts, with figures still in braces."""
    return {key.removeprefix(_PREFIX): catalog.form(key) for key in catalog.messages if key.startswith(_PREFIX)}


def missing_labels(folders: ThemeFolders, catalog: Catalog) -> Iterator[Problem]:
    """Yield a problem for each message that a script names and the catalog lacks, where the script first names it."""
    known = labels(catalog)
    for path, file in (found for pattern in _SCRIPTS for found in folders.files(pattern).items()):
        if "/vendor/" in path:
            continue
        text, reported = file.read_text("utf-8"), set(known)
        for match in _NAMED.finditer(text):
            name = match[1]
            if name not in reported:
                reported.add(name)
                line = text.count("\n", 0, match.start()) + 1
                column = match.start() - text.rfind("\n", 0, match.start())
                expected = f"a message of content/{catalog.language}/bay.po"
                mend = f'add msgid "{_PREFIX}{name}" and its msgstr there'
                yield Problem(folders.shown_as(path), line, column, "", match[0], expected, mend)
