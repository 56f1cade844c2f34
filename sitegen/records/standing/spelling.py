"""Correct misspelled words: a word of the lexicon with one letter more or less, or with two letters swapped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

LEAST_LETTERS = 7
"""Shorter words are not corrected: too many of them are one letter apart ("late" and "plate")."""
_LONGEST_ENDING = 3
"""A word is a known stem with an ending if the ending has no more letters: "seatblet" is not "seat*"."""
_WORDS_KEPT = 50_000


class Spelling(dict[str, str]):
    """A mapping from the words of a text to the words of a lexicon. Each entry is computed on first access."""

    def __init__(self, written_for: Mapping[str, str], words: Iterable[tuple[str, bool]]) -> None:
        """Store the abbreviations of a language, and the words of its phrases, each with whether it is a stem."""
        super().__init__()
        self._written_for = written_for
        self._exact = {text for text, is_stem in words if not is_stem}
        self._stems = {text for text, is_stem in words if is_stem}
        self._longest = 1 + max((len(text) for text in self._exact | self._stems), default=0)
        self._shortened: dict[str, set[str]] = {}
        for text in self._exact | self._stems:
            if len(text) >= LEAST_LETTERS - (text in self._stems):
                for shorter in (text, *_without_one_letter(text)):
                    self._shortened.setdefault(shorter, set()).add(text)

    def __missing__(self, word: str) -> str:
        corrected = self._written_for.get(word) or self._corrected(word)
        if len(self) < _WORDS_KEPT:
            self[word] = corrected
        return corrected

    def _corrected(self, word: str) -> str:
        if len(word) < LEAST_LETTERS or not word.isalpha() or self._is_known(word):
            return word
        whole = sorted(text for text in self._near(word) if text in self._exact) if len(word) <= self._longest else ()
        if whole:
            return whole[0]
        for length in range(min(len(word), self._longest), LEAST_LETTERS - 2, -1):
            stems = sorted(text for text in self._near(word[:length]) if text in self._stems)
            if stems:
                return stems[0] + word[length:]
        return word

    def _is_known(self, word: str) -> bool:
        return word in self._exact or any(
            word[:length] in self._stems for length in range(max(1, len(word) - _LONGEST_ENDING), len(word) + 1)
        )

    def _near(self, word: str) -> Iterator[str]:
        for shorter in (word, *_without_one_letter(word)):
            for text in self._shortened.get(shorter, ()):
                if is_slip(word, text):
                    yield text


def is_slip(word: str, meant: str) -> bool:
    """Return whether two words differ by a typing error: one letter missing or extra, or two letters swapped.

    The first and the last letters are equal. Another last letter, or another vowel, makes another word: "zapatas" and
    "zapatos", "dripping" and "dropping".
    """
    if word == meant or abs(len(word) - len(meant)) > 1 or (word[0], word[-1]) != (meant[0], meant[-1]):
        return False
    if len(word) != len(meant):
        longer, shorter = (word, meant) if len(word) > len(meant) else (meant, word)
        return shorter in set(_without_one_letter(longer))
    apart = [place for place, (one, other) in enumerate(zip(word, meant, strict=True)) if one != other]
    first, *rest = apart
    return rest == [first + 1] and word[first] == meant[rest[0]] and word[rest[0]] == meant[first]


def _without_one_letter(word: str) -> Iterator[str]:
    return (word[:place] + word[place + 1 :] for place in range(len(word)))
