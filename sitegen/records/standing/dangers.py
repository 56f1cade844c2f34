"""The lexicon of dangerous words: phrases which say that something can hurt or strand somebody. One per language.

The data is in `content/<language>/dangers.yaml`. A phrase is written in lower case; `*` matches any ending of a word,
and `..` matches up to three words. Accents, apostrophes and hyphens are ignored.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache

from pydantic import RootModel

from sitegen.records.base import Record

GAP = ".."
"""The token of a phrase that matches up to `WIDEST_GAP` words."""
WIDEST_GAP = 3


class PartGroup(Record):
    """Parts whose failure can hurt somebody, and the words that describe their failure."""

    names: tuple[str, ...]
    bad: tuple[str, ...] = ()
    """Conditions that are bad for these parts only."""
    general: bool = True
    """Whether the conditions that are bad for all parts are bad for these."""
    essential: bool = False
    """Whether their absence is dangerous: "no brakes"."""


class DangerWords(Record):
    """The contents of `content/<language>/dangers.yaml`."""

    groups: dict[str, PartGroup]
    plain: tuple[str, ...]
    """Harmless things. A condition of one of them does not count for a part above."""
    bad: tuple[str, ...]
    """Conditions that are bad for any part above."""
    alone: tuple[str, ...]
    """Phrases that are dangerous by themselves: "unsafe", "smell of gasoline"."""
    strands: tuple[str, ...]
    """Phrases for what leaves a driver at the roadside: "will not start"."""
    do_not_drive: tuple[str, ...]
    parts_only: tuple[str, ...]
    """Phrases on a title for a vehicle that may not be driven on the road."""
    brands: tuple[str, ...]
    """Title brands after which safety-related parts may be damaged: "flood"."""
    negations: tuple[str, ...]
    negates_not: tuple[str, ...]
    """Phrases with a negation that do not negate: "no doubt"."""
    none_after: tuple[str, ...]
    """Negations that follow the condition: "cracks: none"."""
    breaks: tuple[str, ...]
    """Words that begin a new statement within a sentence: "but"."""
    verbs: tuple[str, ...]
    """Verbs of a statement: "is", "was"."""
    which: tuple[str, ...]
    """Words after a comma that continue about the same thing: "which"."""
    near: tuple[str, ...]
    """Prepositions of place: "near"."""
    links: tuple[str, ...]
    """Words between the items of a list: "and"."""
    after_none: tuple[str, ...]
    """Words that may follow "no brakes" so that it means the absence of a fault."""
    repaired: tuple[str, ...]
    """Words for a repair that is done."""
    repairing: tuple[str, ...]
    """Words for a repair that a promise announces."""
    not_yet: tuple[str, ...]
    """Words before a repair that say that it was not done."""
    still: tuple[str, ...]
    """Words for a repair that did not help."""
    sellers: dict[str, tuple[str, ...]]
    """Claims that no seller may make, by the reason: see 16 CFR 455."""

    @cached_property
    def phrases(self) -> Phrases:
        """All phrases of this lexicon, found by the words that they begin with."""
        found = Phrases()
        for name, group in self.groups.items():
            found.add("part", group.names, name)
            found.add("bad", group.bad, name)
        for use in _USES:
            found.add(use, getattr(self, use))
        for reason, phrases in self.sellers.items():
            found.add("sellers", phrases, reason)
        return found


_USES = (
    *(
        "plain",
        "bad",
        "alone",
        "strands",
        "do_not_drive",
        "parts_only",
        "brands",
        "negations",
        "negates_not",
        "none_after",
    ),
    *("breaks", "verbs", "which", "near", "links", "after_none", "repaired", "repairing", "not_yet", "still"),
)


class Lexicons(RootModel[dict[str, DangerWords]]):
    """The lexicon of each language. A text is searched with all of them, since it may be in any language."""


@dataclass(frozen=True)
class Phrase:
    """A phrase, its use, and a detail such as the group of a part."""

    use: str
    of: str
    words: tuple[tuple[str, bool], ...]
    """Each word, and whether any ending may follow it. GAP stands for words that are ignored."""


class Phrases:
    """Phrases, indexed by their first word."""

    def __init__(self) -> None:
        self.exact: dict[str, list[Phrase]] = {}
        self.stems: dict[str, list[Phrase]] = {}
        self.beginning: dict[str, tuple[Phrase, ...]] = {}
        """Results of earlier look-ups."""

    def add(self, use: str, phrases: Iterable[str], of: str = "") -> None:
        """Add the phrases of one use."""
        for phrase in phrases:
            words = tuple(_word(word) for word in plain_words(phrase))
            first, any_ending = words[0]
            (self.stems if any_ending else self.exact).setdefault(first, []).append(Phrase(use, of, words))

    def begun_by(self, word: str) -> tuple[Phrase, ...]:
        """Return the phrases that may begin with a word."""
        known = self.beginning.get(word)
        if known is None:
            stems = (phrase for stem, found in self.stems.items() if word.startswith(stem) for phrase in found)
            known = (*self.exact.get(word, ()), *stems)
            if len(self.beginning) < 50_000:
                self.beginning[word] = known
        return known


def _word(written: str) -> tuple[str, bool]:
    return (written[:-1], True) if written.endswith("*") else (written, False)


_APOSTROPHES = str.maketrans("", "", "'’‘ʼ`")
_IN_A_PHRASE = re.compile(r"[^\W_]+\*?|\.\.")


def plain_words(phrase: str) -> list[str]:
    """Return the normalized words of a phrase."""
    return _IN_A_PHRASE.findall(without_accents(phrase))


@lru_cache(maxsize=1 << 16)
def without_accents(text: str) -> str:
    """Return a text in lower case without accents and apostrophes: "Línea" becomes "linea"."""
    decomposed = unicodedata.normalize("NFKD", text.translate(_APOSTROPHES).casefold())
    return "".join(letter for letter in decomposed if not unicodedata.combining(letter))


def find_phrase(words: Sequence[str], phrase: str) -> str | None:
    """Return the part of a text that matches a phrase, or None. `words` are the result of `plain_words`."""
    wanted = _words_of(phrase)
    for start in range(len(words) - len(wanted) + 1):
        part = words[start : start + len(wanted)]
        pairs = zip(part, wanted, strict=True)
        if all(word.startswith(stem) if any_ending else word == stem for word, (stem, any_ending) in pairs):
            return " ".join(part)
    return None


@cache
def _words_of(phrase: str) -> tuple[tuple[str, bool], ...]:
    return tuple(_word(word) for word in plain_words(phrase))
