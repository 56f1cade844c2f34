"""The lexicon of dangerous words: phrases which say that something can hurt or strand somebody. One per language.

The data is in `content/<language>/dangers.yaml`. A phrase is written in lower case; `*` matches any ending of a word,
and `..` matches up to three words. Accents, apostrophes and hyphens are ignored.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from functools import cache, cached_property, lru_cache

from pydantic import RootModel

from sitegen.records.base import Record
from sitegen.records.standing.spelling import Spelling

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
    of_place: tuple[str, ...]
    """Other things by which a note means the part that it is about: "hose" in a note on the brake lines."""
    spellings: dict[str, str]
    """Words as they are often written, and how this lexicon writes them: "brk" and "brake"."""
    bad: tuple[str, ...]
    """Conditions that are bad for any part above."""
    alone: tuple[str, ...]
    """Phrases that are dangerous by themselves: "unsafe", "smell of gasoline"."""
    strands: tuple[str, ...]
    """Phrases for what leaves a driver at the roadside: "will not start"."""
    rust: tuple[str, ...]
    """Words by which a text speaks of rust."""
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
    pronouns: tuple[str, ...]
    """Words that stand for a part named before: "it"."""
    of_verbs: tuple[str, ...]
    """Negations of a verb, which end at a comma: "not dripping, wet at the rail"."""
    or_words: tuple[str, ...]
    """Words by which such a negation goes on after a comma: "not bent, cracked or torn"."""
    exceptions: tuple[str, ...]
    """Words that limit a negation before them: "does not leak cold, only when full"."""
    good: tuple[str, ...]
    """Words by which a sentence about a vital part says that nothing is wrong with it."""
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
        found = Phrases(self.spellings)
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
        "of_place",
        "bad",
        "alone",
        "strands",
        "rust",
        "do_not_drive",
        "parts_only",
        "brands",
        "negations",
        "negates_not",
        "none_after",
    ),
    *("pronouns", "of_verbs", "or_words", "exceptions", "good"),
    *("breaks", "verbs", "which", "near", "links", "after_none", "repaired"),
    *("repairing", "not_yet", "still"),
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


class Class(IntEnum):
    """Class of the uses of phrases. A text is searched for the others only if it has one of the first."""

    TRIGGERS = 0
    """Without one of these no text says that something is dangerous."""
    NAMES = 1
    REST = 2


CLASS_OF_USE = {
    **dict.fromkeys(("bad", "alone", "do_not_drive", "negations"), Class.TRIGGERS),
    **dict.fromkeys(("part", "plain"), Class.NAMES),
}


@dataclass(frozen=True)
class Begun:
    """The phrases of one class that begin with one word, grouped by their second word."""

    at_once: tuple[Phrase, ...] = ()
    """Phrases of one word."""
    followed: Mapping[str, tuple[Phrase, ...]] = field(default_factory=dict)
    """Longer phrases by their second word."""
    open: tuple[Phrase, ...] = ()
    """Longer phrases whose second word may have any ending or is a gap."""


class _ByWord(dict[str, "Begun | None"]):
    """The phrases of one class by their first word. Each entry is computed on first access."""

    def __init__(self, phrases: Phrases, wanted: Class) -> None:
        super().__init__()
        self._phrases, self._wanted = phrases, wanted

    def __missing__(self, word: str) -> Begun | None:
        begun = _begun(
            [one for one in self._phrases.begun_by(word) if CLASS_OF_USE.get(one.use, Class.REST) is self._wanted]
        )
        if len(self) < _WORDS_KEPT:
            self[word] = begun
        return begun


class Phrases:
    """Phrases, indexed by their first word."""

    def __init__(self, written_for: Mapping[str, str]) -> None:
        self._written_for = written_for
        self.exact: dict[str, list[Phrase]] = {}
        self.stems: dict[str, list[Phrase]] = {}
        self.of_class = tuple(_ByWord(self, each) for each in Class)
        """For each class the phrases that may begin with a word; None where there are none."""

    def add(self, use: str, phrases: Iterable[str], of: str = "") -> None:
        """Add the phrases of one use."""
        for phrase in phrases:
            words = tuple(_word(word) for word in plain_words(phrase))
            first, any_ending = words[0]
            (self.stems if any_ending else self.exact).setdefault(first, []).append(Phrase(use, of, words))

    @cached_property
    def spelling(self) -> Spelling:
        """How the phrases spell a word of a text."""
        of_stems = (word for found in self.stems.values() for phrase in found for word in phrase.words)
        others = (word for found in self.exact.values() for phrase in found for word in phrase.words)
        return Spelling(self._written_for, {*of_stems, *others})

    def begun_by(self, word: str) -> list[Phrase]:
        """Return the phrases that may begin with a word."""
        stems = (self.stems.get(word[:length], ()) for length in range(1, len(word) + 1))
        return [*self.exact.get(word, ()), *(phrase for found in stems for phrase in found)]


_WORDS_KEPT = 50_000


def _begun(phrases: Sequence[Phrase]) -> Begun | None:
    if not phrases:
        return None
    followed: dict[str, list[Phrase]] = {}
    for phrase in phrases:
        if len(phrase.words) > 1 and not phrase.words[1][1] and phrase.words[1][0] != GAP:
            followed.setdefault(phrase.words[1][0], []).append(phrase)
    is_open = (len(one.words) > 1 and (one.words[1][1] or one.words[1][0] == GAP) for one in phrases)
    return Begun(
        at_once=tuple(one for one in phrases if len(one.words) == 1),
        followed={word: tuple(found) for word, found in followed.items()},
        open=tuple(one for one, counts in zip(phrases, is_open, strict=True) if counts),
    )


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
