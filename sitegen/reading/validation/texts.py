"""Checks of free texts: known language tags, and no Markdown that takes excessive time or memory to convert.

Languages are BCP 47 tags that CLDR knows. The limits on Markdown are our own; normal texts stay far below them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from babel import Locale, UnknownLocaleError
from pydantic import BaseModel

from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.base import LocalizedText, is_record_type
from sitegen.records.problems import Problem

MOST_LETTERS = 100_000
MOST_LINES = 3_000
MOST_BRACKETS = 500
DEEPEST = 20
_DEEP = re.compile(rf"^(?:[ \t]*(?:>|(?:[-+*]|\d+[.)])[ \t])){{{DEEPEST + 1},}}", re.MULTILINE)


def check_languages(record: BaseModel | None, marks: Marks) -> Iterator[Problem]:
    """Yield a problem for each unknown language tag of a text, anywhere in a record."""
    for path, text in _texts_in(record, ()):
        for tag in text.versions:
            if tag and not is_language(tag):
                mend = "write the language of the text that follows"
                found = f'the language "{tag}"'
                yield marks.problem((*path, tag), "a language tag (en, es, pt-BR)", mend, found=found, at_key=True)


@cache
def is_language(tag: str) -> bool:
    """Return whether a tag names a language, with or without a region."""
    try:
        Locale.parse(tag, sep="-")
    except (UnknownLocaleError, ValueError):
        return False
    return True


def _texts_in(value: Any, path: KeyPath) -> Iterator[tuple[KeyPath, LocalizedText]]:
    if isinstance(value, LocalizedText):
        yield path, value
        return
    within: Iterable[tuple[str | int, Any]] = ()
    kind: Any = type(value)
    if is_record_type(kind):
        within = ((key, getattr(value, key)) for key in value.model_fields_set)
    elif isinstance(value, Mapping):
        within = ((str(key), item) for key, item in value.items())
    elif isinstance(value, tuple | list):
        within = enumerate(value)
    for step, item in within:
        kind = type(item)
        if _may_hold_texts(kind):
            yield from _texts_in(item, (*path, step))


@cache
def _may_hold_texts(kind: type) -> bool:
    return issubclass(kind, LocalizedText | BaseModel | Mapping | tuple | list)


def find_excess(text: str) -> tuple[str, str, int] | None:
    """Return what a text has too much of, the limit in words, and the line of the problem, from 1.

    Return None for a text within all limits.
    """
    if len(text) > MOST_LETTERS:
        return f"a text of {len(text):,} letters", f"at most {MOST_LETTERS:,}", 1
    lines = text.count("\n") + 1
    if lines > MOST_LINES:
        return f"a text of {lines:,} lines", f"at most {MOST_LINES:,}", 1
    brackets = [bracket.start() for bracket in re.finditer(r"[\[<]", text)]
    if len(brackets) > MOST_BRACKETS:
        line = text.count("\n", 0, brackets[MOST_BRACKETS]) + 1
        return f"{len(brackets):,} opening brackets", f"at most {MOST_BRACKETS:,}", line
    deep = _DEEP.search(text)
    if deep is not None:
        line = text.count("\n", 0, deep.start()) + 1
        return f"a list or quotation within more than {DEEPEST} others", "a few levels", line
    return None
