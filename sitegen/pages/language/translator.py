"""The translator: returns messages, figures and the store's own texts in one language.

View models get every string from the translator, so that templates only place strings.
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
from sitegen.pages.language.missing_words import MessageFigures
from sitegen.pages.language.ranges import collapse_equal_ranges, distinct_from_limits
from sitegen.records.base import LocalizedText, PartialDate
from sitegen.records.quantities import Quantity

Figure = Value | Decimal | PartialDate


@dataclass(frozen=True)
class Text:
    """A text with its language; None means the page's language.

    A sentence that quotes the store in another language consists of `pieces`, so that only the quote is marked.
    """

    text: str
    language: str | None
    pieces: tuple[Text, ...] = ()

    def __str__(self) -> str:
        """Return the text without its language."""
        return self.text


def join_texts(pieces: Iterable[Text], between: str = " ") -> Text:
    """Return texts joined to one text. Each part keeps its language."""
    separated = [part for piece in pieces for part in (Text(between, None), piece)][1:]
    parts = [piece for piece in separated if piece.text]
    text = "".join(piece.text for piece in parts)
    return Text(text, None, tuple(parts) if any(piece.language or piece.pieces for piece in parts) else ())


def within_a_sentence(name: str) -> str:
    """Return a name with its first letter in lower case, as inside a sentence."""
    return name[:1].lower() + name[1:]


@dataclass(frozen=True)
class Fact:
    """One line in a list of facts: a name and a value."""

    name: str | Text
    value: Text
    anchor: str | None = None
    """Its anchor on the page, if it has one."""
    paragraphs: tuple[Text, ...] = ()
    """Further paragraphs below the value."""


@dataclass(frozen=True)
class Translator:
    """Returns messages, figures and the store's own texts in one language.

    `say` and `count` return plain strings. `tell`, `tell_count`, `tell_sentences` and `tell_list` return `Text`, in
    which quoted texts of the store keep their language.
    """

    catalog: Catalog
    formats: Formats
    first_language: str

    @property
    def language(self) -> str:
        """The tag of the translator's language."""
        return self.catalog.language

    def say(self, key: str, **figures: Figure) -> str:
        """Return a message with its figures formatted for this language and region."""
        return self._filled_string(key, None, figures)

    def count(self, key: str, count: int, **figures: Figure) -> str:
        """Return a message in the plural form for `count`."""
        return self._filled_string(key, count, {"count": str(count), **figures})

    def sentence(self, said: Said) -> str:
        """Return a sentence of a finding as a string."""
        return self._filled_string(said.key, said.count, self._figures(said))

    def sentences(self, many: Iterable[Said]) -> tuple[str, ...]:
        """Return the sentences of a finding as strings, in order."""
        return tuple(self.sentence(said) for said in many)

    def tell(self, key: str, **figures: Figure | Text) -> Text:
        """Return a message as a Text. Quoted texts of the store keep their language."""
        return self._filled_text(key, None, figures)

    def tell_count(self, key: str, count: int, **figures: Figure | Text) -> Text:
        """Return a message in the plural form for `count` as a Text. Quoted texts keep their language."""
        return self._filled_text(key, count, {"count": str(count), **figures})

    def tell_sentences(self, many: Iterable[Said]) -> tuple[Text, ...]:
        """Return the sentences of a finding as Texts, in order. Quoted texts of the store keep their language."""
        return tuple(self._filled_text(said.key, said.count, self._figures(said)) for said in many)

    def tell_list(self, items: Iterable[Text]) -> Text:
        """Return texts joined as in a sentence: `a, b and c`. Each keeps its language."""
        *first, last = list(items) or [Text("", None)]
        if not first:
            return last
        return self.tell("list.last", first=join_texts(first, self.catalog.say("list.comma")), last=last)

    def _figures(self, said: Said) -> Mapping[str, Figure]:
        return said.figures if said.count is None else {**said.figures, "count": str(said.count)}

    def _filled_string(self, key: str, count: int | None, figures: Mapping[str, Figure]) -> str:
        written = {name: self.figure(value) for name, value in figures.items()}
        written |= distinct_from_limits(figures, self.formats)
        form = collapse_equal_ranges(self.catalog.form(key, count), written, self.catalog)
        return form.format_map(MessageFigures(self.language, key, written))

    def _filled_text(self, key: str, count: int | None, figures: Mapping[str, Figure | Text]) -> Text:
        texts = MessageFigures(
            self.language, key, {name: self._figure_text(value) for name, value in figures.items()}
        )
        texts.update({name: Text(text, None) for name, text in distinct_from_limits(figures, self.formats).items()})
        written = {name: value.text for name, value in texts.items()}
        form = collapse_equal_ranges(self.catalog.form(key, count), written, self.catalog)
        pieces: list[Text] = []
        for words, name, _, _ in Formatter().parse(form):
            pieces.append(Text(words, None))
            if name is not None:
                pieces.append(texts[name])
        return join_texts(pieces, between="")

    def _figure_text(self, value: Figure | Text) -> Text:
        match value:
            case Text():
                return value
            case LocalizedText():
                return self.text(value)
        return Text(self.figure(value), None)

    def listed(self, items: Iterable[str]) -> str:
        """Return items joined as in a sentence: `a, b and c`."""
        return self.catalog.listed(items)

    def listed_plainly(self, items: Iterable[str]) -> str:
        """Return items joined with commas only: `a, b, c`."""
        return self.catalog.say("list.comma").join(items)

    def figure(self, value: Figure) -> str:
        """Return one formatted figure, with its unit if it has one."""
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
        """Return the first `most` items and the number of the others: `a, b, c, and 2 more`.

        Up to `most` are only joined.
        """
        if len(items) <= most:
            return self.listed(items)
        return self.count("summary.and_more", len(items) - most, items=self.listed_plainly(items[:most]))

    def text(self, text: LocalizedText) -> Text:
        """Return a text of the store in this language if it is translated, else in the nearest language it has."""
        written, language = text.best(self.language, self.first_language)
        return Text(written, None if language == self.language else language)

    def choice(self, group: str, value: StrEnum | str) -> str:
        """Return the name of one value of a fixed set: `("body", Body.SUV)` is the message `body.suv`."""
        return self.catalog.say(f"{group}.{str(value).replace(' ', '_')}")
