"""A translator: the words of one language together with how that language and region write figures.

View models ask the translator for every string, so that a template only has to place it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from string import Formatter

from sitegen.condition.basis.values import Said, Tread, Value, Word
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.ranges import apart_from_limits, of_one_figure
from sitegen.records.base import LocalizedText, PartialDate
from sitegen.records.quantities import Quantity

Figure = Value | Decimal | PartialDate


@dataclass(frozen=True)
class Text:
    """A text, with its language where that is not the page's.

    A sentence that quotes the store in another language is told in `pieces`, so that only the quote is marked.
    """

    text: str
    language: str | None
    pieces: tuple[Text, ...] = ()

    def __str__(self) -> str:
        """Return the bare text."""
        return self.text


def join_texts(pieces: Iterable[Text], between: str = " ") -> Text:
    """Return texts as one, each still in its own language."""
    parted = [part for piece in pieces for part in (Text(between, None), piece)][1:]
    told = [piece for piece in parted if piece.text]
    text = "".join(piece.text for piece in told)
    return Text(text, None, tuple(told) if any(piece.language or piece.pieces for piece in told) else ())


def within_a_sentence(name: str) -> str:
    """Return a name as it stands within a sentence. Only its first letter changes: DEF stays as it is."""
    return name[:1].lower() + name[1:]


@dataclass(frozen=True)
class Fact:
    """One line of facts: what it is about, and what it is."""

    name: str | Text
    value: Text
    anchor: str | None = None
    """Its address on the page, where it has one of its own."""


@dataclass(frozen=True)
class Translator:
    """Says keys, figures and the store's own texts in one language."""

    catalog: Catalog
    formats: Formats
    first_language: str

    @property
    def language(self) -> str:
        """The language spoken."""
        return self.catalog.language

    def say(self, key: str, **figures: Figure) -> str:
        """Return the text of a key; figures are written as this language and region write them."""
        return self._said(key, None, figures)

    def count(self, key: str, count: int, **figures: Figure) -> str:
        """Return the text of a key in the plural form that fits `count`."""
        return self._said(key, count, {"count": str(count), **figures})

    def sentence(self, said: Said) -> str:
        """Return a sentence of a finding."""
        return self._said(said.key, said.count, self._figures(said))

    def sentences(self, many: Iterable[Said]) -> tuple[str, ...]:
        """Return the sentences of a finding, in order."""
        return tuple(self.sentence(said) for said in many)

    def tell(self, key: str, **figures: Figure | Text) -> Text:
        """Return the text of a key; what it quotes of the store keeps its language."""
        return self._filled(self.catalog.form(key), figures)

    def tell_count(self, key: str, count: int, **figures: Figure | Text) -> Text:
        """Return the text of a key in the plural form that fits `count`; what it quotes keeps its language."""
        return self._filled(self.catalog.form(key, count), {"count": str(count), **figures})

    def tell_sentences(self, many: Iterable[Said]) -> tuple[Text, ...]:
        """Return the sentences of a finding, in order; what they quote of the store keeps its language."""
        return tuple(self._filled(self.catalog.form(said.key, said.count), self._figures(said)) for said in many)

    def tell_list(self, items: Iterable[Text]) -> Text:
        """Join texts as a sentence would, each still in its own language."""
        *first, last = list(items) or [Text("", None)]
        if not first:
            return last
        return self.tell("list.last", first=join_texts(first, self.catalog.say("list.comma")), last=last)

    def _figures(self, said: Said) -> Mapping[str, Figure]:
        return said.figures if said.count is None else {**said.figures, "count": str(said.count)}

    def _said(self, key: str, count: int | None, figures: Mapping[str, Figure]) -> str:
        written = {name: self.figure(value) for name, value in figures.items()}
        written |= apart_from_limits(figures, self.formats)
        return of_one_figure(self.catalog.form(key, count), written, self.catalog).format_map(written)

    def _filled(self, form: str, figures: Mapping[str, Figure | Text]) -> Text:
        told = {name: self._told(value) for name, value in figures.items()}
        told |= {name: Text(text, None) for name, text in apart_from_limits(figures, self.formats).items()}
        form = of_one_figure(form, {name: value.text for name, value in told.items()}, self.catalog)
        pieces: list[Text] = []
        for words, name, _, _ in Formatter().parse(form):
            pieces.append(Text(words, None))
            if name is not None:
                pieces.append(told[name])
        return join_texts(pieces, between="")

    def _told(self, value: Figure | Text) -> Text:
        match value:
            case Text():
                return value
            case LocalizedText():
                return self.text(value)
        return Text(self.figure(value), None)

    def listed(self, items: Iterable[str]) -> str:
        """Join items as a sentence would."""
        return self.catalog.listed(items)

    def listed_plainly(self, items: Iterable[str]) -> str:
        """Join items as a caption would: `a, b, c`."""
        return self.catalog.say("list.comma").join(items)

    def figure(self, value: Figure) -> str:
        """Return one figure, with its unit if it has one."""
        match value:
            case str():
                return value
            case Tread(depth):
                return self.formats.tread(depth)
            case Word(key):
                return self.catalog.say(key)
            case LocalizedText():
                return self.text(value).text
            case Quantity():
                return self.formats.quantity(value)
            case PartialDate():
                return self.formats.partial_date(value)
            case date():
                return self.formats.day(value)
        return self.formats.number(value, 1)

    def some_of(self, items: Sequence[str], most: int = 3) -> str:
        """Name the first few items, and count the others: `a, b, c, and 2 more`."""
        if len(items) <= most:
            return self.listed(items)
        return self.count("summary.and_more", len(items) - most, items=self.listed_plainly(items[:most]))

    def text(self, text: LocalizedText) -> Text:
        """Return a text of the store in this language if it has it, else in its own."""
        written, language = text.best(self.language, self.first_language)
        return Text(written, None if language == self.language else language)

    def choice(self, group: str, value: StrEnum | str) -> str:
        """Return the words for one of a fixed set of values: `("body", Body.SUV)` is the message `body.suv`."""
        return self.catalog.say(f"{group}.{str(value).replace(' ', '_')}")
