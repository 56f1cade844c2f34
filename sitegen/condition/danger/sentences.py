"""Split a text into sentences and words, and find the phrases of a lexicon in them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.records.standing.dangers import GAP, WIDEST_GAP, Phrase, Phrases, without_accents

_TOKEN = re.compile(r"\d+(?:[.,]\d+)*|[^\W_]+(?:['’‘ʼ][^\W_]+)*|\n\s*\n|\n\s*(?:[-*+]|\d+\.)\s|[.,;:!?¡¿()–—]")
_SENTENCE_ENDS = frozenset(".!?;¡¿")
_LETTER = re.compile(r"[^\W_]")


@dataclass(frozen=True)
class Token:
    """A normalized word, its place in the text, and the segment of the sentence that it belongs to."""

    text: str
    start: int
    end: int
    segment: int
    """The number of commas, colons and brackets before it."""


@dataclass(frozen=True)
class Found:
    """A phrase in a sentence, from its first word up to, but not including, `end`."""

    phrase: Phrase
    start: int
    end: int

    @property
    def of(self) -> str:
        """Return the phrase's group or other detail."""
        return self.phrase.of


@dataclass(frozen=True)
class Sentence:
    """The words of a sentence, and its phrases by use, in order."""

    words: tuple[Token, ...]
    phrases: dict[str, tuple[Found, ...]]

    def of(self, use: str) -> tuple[Found, ...]:
        """Return the phrases of one use."""
        return self.phrases.get(use, ())

    def begun(self, use: str, place: int) -> Found | None:
        """Return the phrase of a use that begins at a word."""
        return next((found for found in self.of(use) if found.start == place), None)


def composed(text: str) -> str:
    """Return a text in which an accented letter is one character, so that its offsets are those of `sentences`."""
    return unicodedata.normalize("NFC", text)


def sentences(text: str, phrases: Phrases) -> Iterator[Sentence]:
    """Yield the sentences of a text, in order."""
    for words in _sentences(composed(text)):
        yield Sentence(words, _phrases_in(words, phrases))


def _sentences(text: str) -> Iterator[tuple[Token, ...]]:
    words: list[Token] = []
    segment = 0
    for token in _TOKEN.finditer(text):
        written = token[0]
        if _LETTER.match(written) and "\n" not in written:
            words.append(Token(without_accents(written), token.start(), token.end(), segment))
        elif written in _SENTENCE_ENDS or "\n" in written:
            if words:
                yield tuple(words)
            words, segment = [], 0
        else:
            segment += 1
    if words:
        yield tuple(words)


def _phrases_in(words: Sequence[Token], phrases: Phrases) -> dict[str, tuple[Found, ...]]:
    found: dict[str, list[Found]] = {}
    for place, word in enumerate(words):
        for phrase in phrases.begun_by(word.text):
            end = place + 1 if len(phrase.words) == 1 else _end_of(phrase.words, words, place)
            if end is not None:
                found.setdefault(phrase.use, []).append(Found(phrase, place, end))
    return {use: tuple(places) for use, places in found.items()}


def _end_of(phrase: Sequence[tuple[str, bool]], words: Sequence[Token], place: int) -> int | None:
    """Return the end of a phrase that begins at a word. None if the phrase is not there."""
    for number, (wanted, any_ending) in enumerate(phrase):
        if wanted == GAP:
            rest = phrase[number + 1 :]
            ends = (_end_of(rest, words, place + skipped) for skipped in range(WIDEST_GAP + 1))
            return next((end for end in ends if end is not None), None)
        if place >= len(words):
            return None
        text = words[place].text
        if not (text.startswith(wanted) if any_ending else text == wanted):
            return None
        place += 1
    return place
