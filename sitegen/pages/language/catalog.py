"""Read the texts of a language from `content/<language>/`: gettext catalogs, explainers and long texts.

To add a language, add a folder. Message keys are symbolic (`tires.heading`), so that every text that a visitor
reads is in `content/`. A missing message, term or text raises ProblemsError with the place where it belongs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from gettext import c2py
from pathlib import Path

import yaml
from babel.messages.catalog import Catalog as FileOfMessages
from babel.messages.pofile import PoFileError, read_po
from markupsafe import Markup

from sitegen.pages.language.markdown_text import inline_html, page_html
from sitegen.pages.language.missing_words import (
    MessageFigures,
    duplicate_message,
    missing_file,
    missing_form,
    missing_message,
    phrases_of,
    plural_rules_differ,
    unreadable_catalog,
)

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
        """Return a message with its `{figures}` filled in."""
        return self.form(key).format_map(MessageFigures(self.language, key, figures))

    def count(self, key: str, count: int, **figures: str) -> str:
        """Return a message in the plural form for `count`. The message may contain `{count}`."""
        return self.form(key, count).format_map(MessageFigures(self.language, key, {"count": str(count), **figures}))

    def form(self, key: str, count: int | None = None) -> str:
        """Return a message with its `{figures}` not filled in, in the plural form for a count if one is given."""
        number = 0 if count is None else self.plural_form(count)
        forms = self.forms(key)
        if number >= len(forms):
            raise missing_form(self.language, key, number)
        return forms[number]

    def forms(self, key: str) -> tuple[str, ...]:
        """Return all plural forms of a message."""
        if key not in self.messages:
            raise missing_message(self.language, key)
        return self.messages[key]

    def text(self, name: str) -> Markup:
        """Return a long text by its file name without `.md`."""
        if name not in self.texts:
            raise missing_file(self.language, "texts", name)
        return self.texts[name]

    def explained(self, *slugs: str) -> tuple[Term, ...]:
        """Return the explainers of these terms."""
        for slug in slugs:
            if slug not in self.terms:
                raise missing_file(self.language, "terms", slug)
        return tuple(self.terms[slug] for slug in slugs)

    def has(self, key: str) -> bool:
        """Return whether a catalog has the key, for the few messages that are optional."""
        return key in self.messages

    def listed(self, items: Iterable[str]) -> str:
        """Return items joined as in a sentence: `a, b and c`."""
        *first, last = list(items) or [""]
        if not first:
            return last
        return self.say("list.last", first=self.say("list.comma").join(first), last=last)


@cache
def _by_rule(rule: str) -> Callable[[int], int]:
    return c2py(rule)


def read_catalog(content: Path, language: str, region: str | None = None) -> Catalog:
    """Read every catalog, explainer and long text of a language.

    Texts in `regions/<region>/` replace the common texts of the same key or name. Raises ProblemsError if
    a catalog cannot be read, if two catalogs have the same key, or if their plural rules differ.
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
                raise duplicate_message(language, path.relative_to(folder).as_posix(), key)
            messages[key] = forms
    for path in sorted(own.glob("*.po")):
        messages.update(_messages_of(_read(path, language)))
    if len(rules) != 1:
        raise plural_rules_differ(language, rules)
    folders = (folder, own) if region else (folder,)
    marked: dict[str, list[str]] = yaml.safe_load((folder / "terms" / MARKED).read_text("utf-8"))
    terms = {
        path.stem: _term(path, phrases_of(language, path.stem, marked))
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
        try:
            return read_po(file, locale=language, abort_invalid=True)
        except PoFileError as fault:
            raise unreadable_catalog(language, path.name, fault.lineno, str(fault)) from None


def _messages_of(read: FileOfMessages) -> Iterable[tuple[str, tuple[str, ...]]]:
    for message in read:
        if message.id:
            key = message.id if isinstance(message.id, str) else message.id[0]
            forms = message.string or ""
            yield key, (forms,) if isinstance(forms, str) else tuple(forms)


def _term(path: Path, words: Iterable[str]) -> Term:
    heading, _, meaning = path.read_text("utf-8").partition("\n")
    return Term(path.stem, heading.removeprefix("# ").strip(), inline_html(meaning.strip()), tuple(words))
