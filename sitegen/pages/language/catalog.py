"""The words of a language: gettext catalogs, explainers and long texts from `content/<language>/`.

A second language is a folder. Message keys are symbolic (`tires.heading`), so that every word a visitor reads stands
in `content/`; a key that is missing is our own mistake, and stops the build.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from gettext import c2py
from pathlib import Path

import yaml
from babel.messages.catalog import Catalog as FileOfMessages
from babel.messages.pofile import read_po
from markupsafe import Markup

from sitegen.pages.language.markdown_text import inline_html, page_html

MARKED = "words.yaml"
"""Beside the explainers: the words by which each is marked in running text."""


@dataclass(frozen=True)
class Term:
    """An explainer: what a word of the trade means, in a short paragraph."""

    slug: str
    name: str
    meaning: Markup
    words: tuple[str, ...] = ()
    """By which it is marked in running text."""


@dataclass(frozen=True)
class Catalog:
    """Everything that can be said in one language."""

    language: str
    messages: Mapping[str, tuple[str, ...]]
    """Message key to its text, or to its plural forms."""
    plural_rule: str
    """From the head of the language's catalogs (`Plural-Forms`): an expression of C."""
    terms: Mapping[str, Term]
    texts: Mapping[str, Markup]
    """Long texts, by file name without `.md`."""

    def plural_form(self, count: int) -> int:
        """Return which of a message's forms a count takes, by the catalogs' own rule.

        Not by Babel's table: that one gained a form for whole millions in Spanish, of which our catalogs know none.
        """
        return _by_rule(self.plural_rule)(count)

    def say(self, key: str, **figures: str) -> str:
        """Return the text of a key, with its `{figures}` filled in. Raises KeyError for a key that no catalog has."""
        return self.form(key).format_map(figures)

    def count(self, key: str, count: int, **figures: str) -> str:
        """Return the plural form of a key that fits `count`, which may itself be named in the text."""
        return self.form(key, count).format_map({"count": str(count), **figures})

    def form(self, key: str, count: int | None = None) -> str:
        """Return a message with its `{figures}` still to be filled in, in the plural form that fits a count."""
        return self.messages[key][0 if count is None else self.plural_form(count)]

    def explained(self, *slugs: str) -> tuple[Term, ...]:
        """Return the explainers of these words of the trade. Raises KeyError for one that `terms/` has not."""
        return tuple(self.terms[slug] for slug in slugs)

    def has(self, key: str) -> bool:
        """Tell whether a catalog has the key: for the few places where more words are welcome but not needed."""
        return key in self.messages

    def listed(self, items: Iterable[str]) -> str:
        """Join items as a sentence would: `a, b and c`."""
        *first, last = list(items) or [""]
        if not first:
            return last
        return self.say("list.last", first=self.say("list.comma").join(first), last=last)


@cache
def _by_rule(rule: str) -> Callable[[int], int]:
    return c2py(rule)


def read_catalog(content: Path, language: str, region: str | None = None) -> Catalog:
    """Read every catalog, explainer and long text of a language.

    What a region says in its own words stands in `regions/<region>/`, in the place of what all others say.
    """
    folder = content / language
    own = folder / "regions" / (region or "")
    messages: dict[str, tuple[str, ...]] = {}
    rules: set[str] = set()
    for path in sorted(folder.rglob("*.po")):
        if folder / "regions" in path.parents:
            continue
        read = _read(path, language)
        rules.add(read.plural_expr)
        for key, forms in _messages_of(read):
            if key in messages:
                raise ValueError(f"{path}: the message {key} is in another catalog too")
            messages[key] = forms
    for path in sorted(own.glob("*.po")):
        messages.update(_messages_of(_read(path, language)))
    if len(rules) != 1:
        raise ValueError(f"{folder}: its catalogs differ in Plural-Forms: {'; '.join(sorted(rules))}")
    folders = (folder, own) if region else (folder,)
    marked: dict[str, list[str]] = yaml.safe_load((folder / "terms" / MARKED).read_text("utf-8"))
    terms = {
        path.stem: _term(path, marked[path.stem])
        for part in folders
        for path in sorted((part / "terms").glob("*.md"))
    }
    texts = {
        path.stem: page_html(path.read_text("utf-8"))
        for part in folders
        for path in sorted((part / "texts").glob("*.md"))
    }
    return Catalog(language, messages, rules.pop(), terms, texts)


def _read(path: Path, language: str) -> FileOfMessages:
    with path.open("rb") as file:
        return read_po(file, locale=language, abort_invalid=True)


def _messages_of(read: FileOfMessages) -> Iterable[tuple[str, tuple[str, ...]]]:
    for message in read:
        if message.id:
            key = message.id if isinstance(message.id, str) else message.id[0]
            forms = message.string or ""
            yield key, (forms,) if isinstance(forms, str) else tuple(forms)


def _term(path: Path, words: Iterable[str]) -> Term:
    heading, _, meaning = path.read_text("utf-8").partition("\n")
    return Term(path.stem, heading.removeprefix("# ").strip(), inline_html(meaning.strip()), tuple(words))
