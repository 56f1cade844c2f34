"""Convert texts to HTML: mark texts in another language, and mark trade terms that have an explainer.

A term is marked at its first use in a section and opens its explainer there. Explainers whose term does not occur in
the section's texts are listed among the section's details.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache

from markupsafe import Markup, escape

from sitegen.pages.language.catalog import Term
from sitegen.pages.language.translator import Text

_MARK = Markup('<button type="button" class="explained" popovertarget="term-{}">{}</button>')
_HELD = Markup('<span class="explained-held">{}{}{}</span>')
"""Keeps a term's button and its punctuation on one line: a browser may break a line on either side of a button."""
_BEFORE, _AFTER = re.compile(r"[(\[«“‘¿¡]+\Z"), re.compile(r"\A[)\]»”’…,.;:!?]+")


def text_html(text: Text | str) -> Markup:
    """Return a text as HTML, with a `lang` attribute if it is not in the page's language."""
    return _html(text, escape)


def marked_html(text: Text | str, words: ExplainedSection | None) -> Markup:
    """Return a text as `text_html` does, and mark the first use of each term that the section explains."""
    return _html(text, words.mark if words else escape)


def _html(text: Text | str, html: Callable[[str], Markup]) -> Markup:
    """Return a text as HTML. `html` converts the parts that are in the page's language."""
    if isinstance(text, str):
        return html(text)
    if text.pieces:
        return Markup("").join(_html(piece, html) for piece in text.pieces)
    if text.language is None:
        return html(text.text)
    return Markup('<span lang="{}">{}</span>').format(text.language, text.text)


class ExplainedPage:
    """Records the terms that are marked on one page while its template is rendered."""

    def __init__(self) -> None:
        """Create a page on which nothing is marked yet."""
        self._marked: dict[str, Term] = {}

    @property
    def marked(self) -> tuple[Term, ...]:
        """Every explainer that a marked term on the page opens, without duplicates."""
        return tuple(self._marked.values())

    def section(self, terms: Iterable[Term]) -> ExplainedSection:
        """Return a new section that marks these terms."""
        return ExplainedSection(terms, self._marked)


class ExplainedSection:
    """The terms of a section that are not marked yet."""

    def __init__(self, terms: Iterable[Term], marked_on_page: dict[str, Term]) -> None:
        """Create a section. It adds the terms that it marks to `marked_on_page`."""
        self._open = {term.slug: term for term in terms}
        self._marked_on_page = marked_on_page

    def mark(self, text: str) -> Markup:
        """Return a text as HTML, with the section's terms marked at their first use."""
        return Markup("").join(self._parts(text))

    def left(self, terms: Iterable[Term]) -> Iterator[Term]:
        """Yield those of these explainers whose term is not marked on the page yet.

        Their terms are not marked later.
        """
        for term in terms:
            if self._open.pop(term.slug, None) and term.slug not in self._marked_on_page:
                yield term

    def _parts(self, text: str) -> Iterator[Markup]:
        while first := self._first_word(text):
            term, start, end = first
            self._marked_on_page[term.slug] = self._open.pop(term.slug)
            before, after = _BEFORE.sub("", text[:start]), _AFTER.sub("", text[end:])
            mark = _MARK.format(term.slug, text[start:end])
            opening, closing = text[len(before) : start], text[end : len(text) - len(after)]
            yield escape(before)
            yield _HELD.format(opening, mark, closing) if opening or closing else mark
            text = after
        yield escape(text)

    def _first_word(self, text: str) -> tuple[Term, int, int] | None:
        """Return the first term in a text with its start and end. Of two that start together, return the longer."""
        every = [
            (term, *match.span())
            for term in self._open.values()
            if term.words and (match := _pattern(term.words).search(text))
        ]
        return min(every, key=lambda match: (match[1], -match[2]), default=None)


@lru_cache(maxsize=1000)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    """Return a pattern that matches any of these as whole words, ignoring case and preferring the longest."""
    longest_first = sorted(words, key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)", re.IGNORECASE)
