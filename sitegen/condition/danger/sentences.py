"""Split a text into sentences and words, and find the phrases of a lexicon in them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from sitegen.records.standing.dangers import CLASS_OF_USE, GAP, WIDEST_GAP, Class, Phrase, Phrases, without_accents
from sitegen.records.standing.spelling import Spelling

_TOKEN = re.compile(r"\d+(?:[.,]\d+)*|[^\W_]+(?:['’‘ʼ][^\W_]+)*|\n\s*\n|\n\s*(?:[-*+]|\d+\.)\s|[.,;:!?¡¿()–—]")
_SENTENCE_ENDS = frozenset(".!?;¡¿")
_NONE: Mapping[str, Sequence[Found]] = {}
_WORD = re.compile(r"[^\W_]+")
_LETTER = re.compile(r"[^\W_]")


class Token(NamedTuple):
    """A normalized word, its place in the text, and the segment of the sentence that it belongs to."""

    text: str
    start: int
    end: int
    segment: int
    """The number of commas, colons and brackets before it."""


class Found(NamedTuple):
    """A phrase in a sentence, from its first word up to, but not including, `end`."""

    phrase: Phrase
    start: int
    end: int

    @property
    def of(self) -> str:
        """Return the phrase's detail, such as its group of parts."""
        return self.phrase.of


class Sentence:
    """The words of a sentence, and its phrases by use, in order."""

    def __init__(self, words: tuple[Token, ...], phrases: Phrases) -> None:
        self.words = words
        self._phrases = phrases
        self._found: list[Mapping[str, Sequence[Found]] | None] = [None] * len(Class)

    def of(self, use: str) -> Sequence[Found]:
        """Return the phrases in the sentence that belong to one list of the lexicon, such as `repaired`."""
        number = CLASS_OF_USE.get(use, Class.REST)
        found = self._found[number]
        if found is None:
            found = self._found[number] = _phrases_in(self.words, self._phrases, number)
        return found.get(use, ())


def composed(text: str) -> str:
    """Return a text in which an accented letter is one character, so that its offsets are those of `sentences`."""
    return unicodedata.normalize("NFC", text)


def may_be_dangerous(text: str, phrases: Phrases) -> bool:
    """Return False where no word of a text begins a phrase of danger, so that nobody need read its sentences."""
    begun, spelling = phrases.of_class[Class.TRIGGERS], phrases.spelling
    return any(begun[spelling[word]] is not None for word in _words_of(text))


@lru_cache(maxsize=64)
def _words_of(text: str) -> frozenset[str]:
    return frozenset(_WORD.findall(without_accents(text)))


@lru_cache(maxsize=256)
def sentences(text: str, phrases: Phrases) -> tuple[Sentence, ...]:
    """Return the sentences of a text, in order."""
    spelling = phrases.spelling
    return tuple(Sentence(_spelled(words, spelling), phrases) for words in _sentences(text))


def _spelled(words: tuple[Token, ...], spelling: Spelling) -> tuple[Token, ...]:
    corrected = [spelling[word.text] for word in words]
    if all(text == word.text for text, word in zip(corrected, words, strict=True)):
        return words
    return tuple(word._replace(text=text) for text, word in zip(corrected, words, strict=True))


@lru_cache(maxsize=256)
def _sentences(text: str) -> tuple[tuple[Token, ...], ...]:
    found: list[tuple[Token, ...]] = []
    words: list[Token] = []
    segment = 0
    for token in _TOKEN.finditer(composed(text)):
        written = token[0]
        if _LETTER.match(written) and "\n" not in written:
            words.append(Token(without_accents(written), token.start(), token.end(), segment))
        elif written in _SENTENCE_ENDS or "\n" in written:
            if words:
                found.append(tuple(words))
            words, segment = [], 0
        else:
            segment += 1
    if words:
        found.append(tuple(words))
    return tuple(found)


def _phrases_in(words: Sequence[Token], phrases: Phrases, number: Class) -> Mapping[str, Sequence[Found]]:
    by_word = phrases.of_class[number]
    begun = [(place, begun) for place, word in enumerate(words) if (begun := by_word[word.text]) is not None]
    if not begun:
        return _NONE
    found: dict[str, list[Found]] = {}
    for place, each in begun:
        for phrase in each.at_once:
            found.setdefault(phrase.use, []).append(Found(phrase, place, place + 1))
        longer = each.followed.get(words[place + 1].text, ()) if each.followed and place + 1 < len(words) else ()
        for phrase in (*longer, *each.open):
            end = _end_of(phrase.words, words, place)
            if end is not None:
                found.setdefault(phrase.use, []).append(Found(phrase, place, end))
    return found


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
