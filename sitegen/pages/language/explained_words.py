"""Texts as HTML: in which language they are, and which of their words are explained.

An explained word is marked where a section uses it first, and opens its explanation there. What is explained and
never used in running text is left, to be told among the section's details.
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
"""A browser may break a line on either side of a button, and would leave its comma or colon to begin the next."""
_BEFORE, _AFTER = re.compile(r"[(\[«“‘¿¡]+\Z"), re.compile(r"\A[)\]»”’…,.;:!?]+")


def text_html(text: Text | str) -> Markup:
    """Return a text, marked with its language where that is not the page's."""
    return _html(text, escape)


def marked_html(text: Text | str, words: ExplainedSection | None) -> Markup:
    """Return a text as `text_html` does; what a section explains is marked where it first comes."""
    return _html(text, words.mark if words else escape)


def _html(text: Text | str, html: Callable[[str], Markup]) -> Markup:
    """Return a text; `html` makes that of what is in the page's language."""
    if isinstance(text, str):
        return html(text)
    if text.pieces:
        return Markup("").join(_html(piece, html) for piece in text.pieces)
    if text.language is None:
        return html(text.text)
    return Markup('<span lang="{}">{}</span>').format(text.language, text.text)


class ExplainedPage:
    """What a page marks, in the order in which its template places its texts."""

    def __init__(self) -> None:
        """Begin a page on which nothing is marked yet."""
        self._marked: dict[str, Term] = {}

    @property
    def marked(self) -> tuple[Term, ...]:
        """Every explainer that a word of the page opens, once."""
        return tuple(self._marked.values())

    def section(self, terms: Iterable[Term]) -> ExplainedSection:
        """Begin a section whose texts use these words of the trade."""
        return ExplainedSection(terms, self._marked)


class ExplainedSection:
    """The words of the trade of a section, until each is marked once."""

    def __init__(self, terms: Iterable[Term], marked_on_page: dict[str, Term]) -> None:
        """Take the words to mark, and what the whole page has marked, to which this section adds."""
        self._open = {term.slug: term for term in terms}
        self._marked_on_page = marked_on_page

    def mark(self, text: str) -> Markup:
        """Return a text as HTML in which the words that the section uses for the first time are marked."""
        return Markup("").join(self._parts(text))

    def left(self, terms: Iterable[Term]) -> Iterator[Term]:
        """Yield those of these explainers that no word of the page opens so far; no word will."""
        for term in terms:
            if self._open.pop(term.slug, None) and term.slug not in self._marked_on_page:
                yield term

    def _parts(self, text: str) -> Iterator[Markup]:
        while found := self._first_word(text):
            term, start, end = found
            self._marked_on_page[term.slug] = self._open.pop(term.slug)
            before, after = _BEFORE.sub("", text[:start]), _AFTER.sub("", text[end:])
            mark = _MARK.format(term.slug, text[start:end])
            opening, closing = text[len(before) : start], text[end : len(text) - len(after)]
            yield escape(before)
            yield _HELD.format(opening, mark, closing) if opening or closing else mark
            text = after
        yield escape(text)

    def _first_word(self, text: str) -> tuple[Term, int, int] | None:
        """Return the explained word that comes first, of two that begin at one place the longer, and where it is."""
        every = [
            (term, *match.span())
            for term in self._open.values()
            if term.words and (match := _pattern(term.words).search(text))
        ]
        return min(every, key=lambda found: (found[1], -found[2]), default=None)


@lru_cache(maxsize=1000)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    """Return what finds any of these as whole words, the longest first, whatever their case."""
    longest_first = sorted(words, key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)", re.IGNORECASE)
