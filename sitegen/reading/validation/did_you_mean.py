"""Suggestions for misspelled words."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

LIKENESS_OF_NAMES = 0.75
"""Least likeness for names that a store chooses itself. Ids such as those of two dents in one door differ more."""
_LONGEST = 100
"""Longest word that is compared, in characters. No valid name is longer, and comparing takes long."""


def nearest(wrong: str, right: Iterable[str], likeness: float = 0.55) -> str | None:
    """Return the valid word most like the wrong one, or None. Case and separators are ignored.

    `likeness` is the least similarity that counts, from 0 to 1 (equal).
    """
    if len(wrong) > _LONGEST:
        return None
    by_plain_form = {plain_word(word): word for word in reversed(list(right))}
    close = get_close_matches(plain_word(wrong), by_plain_form, n=1, cutoff=likeness)
    return by_plain_form[close[0]] if close else None


def listed(words: Iterable[str], last_joint: str = "or") -> str:
    """Return words joined for reading: a, b or c."""
    *most, last = words
    return f"{', '.join(most)} {last_joint} {last}" if most else last


def did_you_mean(wrong: str, right: Iterable[str], fallback: str, likeness: float = 0.55) -> str:
    """Return the advice for a wrong word: the nearest valid word, or `fallback`."""
    near = nearest(wrong, right, likeness)
    return f'did you mean "{near}"?' if near is not None else fallback


def plain_word(word: str) -> str:
    """Return a word in small letters, with a space for each hyphen and underscore."""
    return word.casefold().replace("_", " ").replace("-", " ")
