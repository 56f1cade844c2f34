"""Read the texts of a language from `content/<language>/`: gettext catalogs, explainers and long texts.

To add a language, add a folder. Message keys are symbolic (`tires.heading`), so that every text that a visitor
reads is in `content/`. A missing key raises KeyError: it is a bug, not a fault of the store's files.
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
"""The file beside the explainers that lists the words by which each is marked in running text."""


@dataclass(frozen=True)
class Term:
    """An explainer: the meaning of a trade term in a short paragraph."""

    slug: str
    name: str
    meaning: Markup
    words: tuple[str, ...] = ()
    """The words that are marked in running text and open the explainer."""


@dataclass(frozen=True)
class Catalog:
    """The messages, explainers and long texts of one language."""

    language: str
    messages: Mapping[str, tuple[str, ...]]
    """Each message key's text, or its plural forms."""
    plural_rule: str
    """The C expression of the `Plural-Forms` header of the language's catalogs."""
    terms: Mapping[str, Term]
    texts: Mapping[str, Markup]
    """Long texts, by file name without `.md`."""

    def plural_form(self, count: int) -> int:
        """Return the index of the plural form for a count, by the catalogs' own rule.

        Babel's table is not used: it has a form for whole millions in Spanish that the catalogs do not have.
        """
        return _by_rule(self.plural_rule)(count)

    def say(self, key: str, **figures: str) -> str:
        """Return a message with its `{figures}` filled in. Raises KeyError for a key that no catalog has."""
        return self.form(key).format_map(figures)

    def count(self, key: str, count: int, **figures: str) -> str:
        """Return a message in the plural form for `count`. The message may contain `{count}`."""
        return self.form(key, count).format_map({"count": str(count), **figures})

    def form(self, key: str, count: int | None = None) -> str:
        """Return a message with its `{figures}` not filled in, in the plural form for a count if one is given."""
        return self.messages[key][0 if count is None else self.plural_form(count)]

    def explained(self, *slugs: str) -> tuple[Term, ...]:
        """Return the explainers of these terms. Raises KeyError for a term that `terms/` does not have."""
        return tuple(self.terms[slug] for slug in slugs)

    def has(self, key: str) -> bool:
        """Return whether a catalog has the key, for the few messages that are optional."""
        return key in self.messages

    def listed(self, items: Iterable[str]) -> str:
        """Join items as in a sentence: `a, b and c`."""
        *first, last = list(items) or [""]
        if not first:
            return last
        return self.say("list.last", first=self.say("list.comma").join(first), last=last)


@cache
def _by_rule(rule: str) -> Callable[[int], int]:
    return c2py(rule)


def read_catalog(content: Path, language: str, region: str | None = None) -> Catalog:
    """Read every catalog, explainer and long text of a language.

    Texts in `regions/<region>/` replace the common texts of the same key or name. Raises ValueError if two catalogs
    have the same key, or if their plural rules differ.
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
