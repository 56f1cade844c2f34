"""The nearest right word to a wrong one."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

A_SLIP = 0.75
"""The likeness of names that a store gives itself: the dent and the scratches of one door are less alike."""
_LONGEST = 100
"""Nothing that is right has as many letters, and comparing takes the longer."""


def nearest(wrong: str, right: Iterable[str], likeness: float = 0.55) -> str | None:
    """Return the right word that is most like the wrong one, if any is like it. Case and separators count little.

    `likeness` is the least that counts, from 0 to 1, the same.
    """
    if len(wrong) > _LONGEST:
        return None
    by_plain_form = {_plain(word): word for word in reversed(list(right))}
    close = get_close_matches(_plain(wrong), by_plain_form, n=1, cutoff=likeness)
    return by_plain_form[close[0]] if close else None


def listed(words: Iterable[str], last_joint: str = "or") -> str:
    """Return words as a list for reading: a, b or c."""
    *most, last = words
    return f"{', '.join(most)} {last_joint} {last}" if most else last


def did_you_mean(wrong: str, right: Iterable[str], otherwise: str, likeness: float = 0.55) -> str:
    """Return how to mend a wrong word: the nearest right one, or what else to do."""
    near = nearest(wrong, right, likeness)
    return f'did you mean "{near}"?' if near is not None else otherwise


def _plain(word: str) -> str:
    return word.casefold().replace("_", " ").replace("-", " ")
