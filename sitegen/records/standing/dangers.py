"""Words by which a text says that something can hurt or strand somebody: one lexicon per language.

A lexicon is data in `content/<language>/dangers.yaml`. A phrase is written in small letters; `*` stands for any
ending of a word, `..` for up to three words. Accents, apostrophes and hyphens do not count.
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
"""In a phrase: up to `WIDEST_GAP` words that do not matter."""
WIDEST_GAP = 3


class PartGroup(Record):
    """Parts by whose failure somebody can be hurt, and what is said of them when they fail."""

    names: tuple[str, ...]
    bad: tuple[str, ...] = ()
    """Conditions that are bad for these parts and not for others."""
    general: bool = True
    """Whether the conditions that are bad for any part are bad for these."""
    essential: bool = False
    """Whether it is dangerous that the vehicle has none of it: "no brakes"."""


class DangerWords(Record):
    """What `content/<language>/dangers.yaml` holds."""

    groups: dict[str, PartGroup]
    plain: tuple[str, ...]
    """Other things. A condition that is said of one of them is not said of a part above."""
    bad: tuple[str, ...]
    """Conditions that are bad for any part above."""
    alone: tuple[str, ...]
    """What is dangerous by itself: "unsafe", "smell of gasoline"."""
    strands: tuple[str, ...]
    """What leaves a driver at the roadside: "will not start"."""
    do_not_drive: tuple[str, ...]
    parts_only: tuple[str, ...]
    """What a title says of a vehicle that may not be driven on the road."""
    brands: tuple[str, ...]
    """Brands of a title after which parts on which safety depends may be damaged: "flood"."""
    negations: tuple[str, ...]
    negates_not: tuple[str, ...]
    """Phrases with a negation that negate nothing: "no doubt"."""
    none_after: tuple[str, ...]
    """What denies a condition after it is named: "cracks: none"."""
    breaks: tuple[str, ...]
    """Words that begin a new statement within a sentence: "but"."""
    verbs: tuple[str, ...]
    """Verbs of a statement: "is", "was"."""
    which: tuple[str, ...]
    """Words after a comma that go on about the same thing: "which"."""
    near: tuple[str, ...]
    """Words that say where something is: "near"."""
    links: tuple[str, ...]
    """Words that stand between things of one list: "and"."""
    after_none: tuple[str, ...]
    """Words that may follow "no brakes" without making it the absence of a fault."""
    repaired: tuple[str, ...]
    """Words that say that something was put right."""
    repairing: tuple[str, ...]
    """Words by which a promise says that something will be put right."""
    not_yet: tuple[str, ...]
    """Words before those of a repair that say that it was not done."""
    still: tuple[str, ...]
    """Words by which a repair has not helped."""
    sellers: dict[str, tuple[str, ...]]
    """What no seller should write, by the reason: see 16 CFR 455."""

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
    """The lexicon of each language. A text is searched by all, for it may be written in any."""


@dataclass(frozen=True)
class Phrase:
    """A phrase, what it is used for, and what it says more of itself: the group of a part."""

    use: str
    of: str
    words: tuple[tuple[str, bool], ...]
    """Each word, and whether any ending may follow it; GAP stands for the words that do not matter."""


class Phrases:
    """Phrases by the word that they begin with."""

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
    """Return the words of a phrase as they are compared."""
    return _IN_A_PHRASE.findall(without_accents(phrase))


@lru_cache(maxsize=1 << 16)
def without_accents(text: str) -> str:
    """Return a text in small letters without accents and apostrophes: "Línea" and "linea" are the same word."""
    decomposed = unicodedata.normalize("NFKD", text.translate(_APOSTROPHES).casefold())
    return "".join(letter for letter in decomposed if not unicodedata.combining(letter))


def find_phrase(words: Sequence[str], phrase: str) -> str | None:
    """Return the words of a text, as `plain_words` gives them, that are a phrase; None if it does not stand there."""
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
