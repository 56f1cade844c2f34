"""Whether a text is one that a page can show: in a language that there is, and no Markdown that takes for ever.

Languages are those of BCP 47, as far as CLDR knows them. To turn Markdown into HTML takes time and room by its shape;
the bounds are this project's own, and what a store writes stays far below each.
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
    """Yield every language of a text, anywhere in a record, that there is not."""
    for path, text in _texts_in(record, ()):
        for tag in text.versions:
            if tag and not is_language(tag):
                mend = "write the language of the text that follows"
                found = f'the language "{tag}"'
                yield marks.problem((*path, tag), "a language tag (en, es, pt-BR)", mend, found=found, at_key=True)


@cache
def is_language(tag: str) -> bool:
    """Tell whether a tag is that of a language, or of a language as it is written in a region."""
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
        within = ((str(key), one) for key, one in value.items())
    elif isinstance(value, tuple | list):
        within = enumerate(value)
    for step, one in within:
        kind = type(one)
        if _may_hold_texts(kind):
            yield from _texts_in(one, (*path, step))


@cache
def _may_hold_texts(kind: type) -> bool:
    return issubclass(kind, LocalizedText | BaseModel | Mapping | tuple | list)


def too_much(text: str) -> tuple[str, str, int] | None:
    """Return what there is too much of in a text, what is expected, and on which of its lines it is told, from 1.

    None for a text as people write them.
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
