"""Problems for words that a language lacks: the file where they belong, and how to add them.

A missing message stops a command with all messages that the language lacks, not with the first one only.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar

from sitegen.records.problems import Problem, ProblemsError
from sitegen.shared_data import content_folder

Figure = TypeVar("Figure")

_KEY = re.compile(r'^msgid "(.+)"$', re.MULTILINE)


class MessageFigures(dict[str, Figure]):
    """The figures of one message by name. Raises ProblemsError if the message names an unknown figure."""

    def __init__(self, language: str, key: str, figures: Mapping[str, Figure]) -> None:
        """Take the figures of a message."""
        super().__init__(figures)
        self._message = language, key

    def __missing__(self, name: str) -> Figure:
        """Raise ProblemsError for a figure that the message names and the caller does not pass."""
        language, key = self._message
        names = " ".join(f"{{{figure}}}" for figure in self) or "no figures"
        raise ProblemsError(
            Problem(
                *(_file_of(language, key), 0, 0, key, f"the figure {{{name}}}"),
                *(f"one of {names}", "correct the name in braces"),
            )
        )


def missing_message(language: str, key: str) -> ProblemsError:
    """Return an error that lists the missing message, and all others that the language lacks."""
    others = (folder for folder in content_folder().iterdir() if folder.name != language)
    known = {name for folder in others for names in _keys(folder).values() for name in names}
    own = {name for names in _keys(content_folder() / language).values() for name in names}
    return ProblemsError(*(_missing(language, name) for name in sorted((known - own) | {key})))


def missing_form(language: str, key: str, number: int) -> ProblemsError:
    """Return the error for a missing plural form of a message. Forms count from 0."""
    mend = f'write msgid_plural, and "msgstr[{number}]" beside the other forms'
    expected = f"a plural form msgstr[{number}]"
    return ProblemsError(Problem(_file_of(language, key), 0, 0, key, "no such form", expected, mend))


def missing_file(language: str, folder: str, name: str) -> ProblemsError:
    """Return the error for a missing explainer (`terms`) or long text (`texts`)."""
    place = f"content/{language}/{folder}/{name}.md"
    also = ", and its phrases in words.yaml beside it" if folder == "terms" else ""
    mend = f"write it as in another language{also}"
    return ProblemsError(Problem(place, 0, 0, "", "no such file", "a file that every language has", mend))


def phrases_of(language: str, term: str, phrases: Mapping[str, list[str]]) -> list[str]:
    """Return the phrases that are marked for an explainer. Raises ProblemsError if `words.yaml` has none."""
    if term not in phrases:
        mend = f'add "{term}: [...]" with its phrases, or [] if it is never in a sentence'
        place = f"content/{language}/terms/words.yaml"
        raise ProblemsError(Problem(place, 0, 0, term, "nothing", "the phrases of this explained word", mend))
    return phrases[term]


def duplicate_message(language: str, catalog: str, key: str) -> ProblemsError:
    """Return the error for a key that two catalogs of a language have."""
    found, expected = "a message that another catalog has too", "each message in one catalog"
    return ProblemsError(Problem(f"content/{language}/{catalog}", 0, 0, key, found, expected, "delete one of them"))


def plural_rules_differ(language: str, rules: Iterable[str]) -> ProblemsError:
    """Return the error for catalogs of one language with different plural rules."""
    found, expected = f"Plural-Forms: {' and '.join(sorted(rules))}", "the same Plural-Forms in each catalog"
    return ProblemsError(Problem(f"content/{language}", 0, 0, "", found, expected, "correct the head of a catalog"))


def unreadable_catalog(language: str, catalog: str, line: int, fault: str) -> ProblemsError:
    """Return the error for a catalog that is not a gettext file. Lines count from 0."""
    expected, mend = "a gettext catalog (PO)", "correct this line"
    return ProblemsError(Problem(f"content/{language}/{catalog}", line + 1, 1, "", fault, expected, mend))


def _missing(language: str, key: str) -> Problem:
    expected, mend = "a message for this key", f'add msgid "{key}" and its msgstr'
    return Problem(_file_of(language, key), 0, 0, key, "no message", expected, mend)


def _file_of(language: str, key: str) -> str:
    """Return the catalog that has, or should have, a message.

    It is the file that has the key in any language, else the file with most keys of the same first word.
    """
    folders = [content_folder() / language, *_other_languages(language)]
    prefix = f"{key.partition('.')[0]}."
    kin = Counter({path: sum(name.startswith(prefix) for name in names) for path, names in _keys(folders[0]).items()})
    having = (path for folder in folders for path, names in _keys(folder).items() if key in names)
    nearest = next((path for path, count in kin.most_common(1) if count), "")
    return f"content/{language}/{next(having, nearest)}"


def _other_languages(language: str) -> Iterable[Path]:
    return (folder for folder in sorted(content_folder().iterdir()) if folder.name != language)


def _keys(folder: Path) -> dict[str, set[str]]:
    """Return the message keys of a language, by the path of their catalog in its folder."""
    return {path: set(_KEY.findall(text)) for path, text in _catalogs(folder)}


def _catalogs(folder: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(folder.rglob("*.po")):
        place = path.relative_to(folder)
        if place.parts[0] != "regions":
            yield place.as_posix(), path.read_text("utf-8", errors="replace")
