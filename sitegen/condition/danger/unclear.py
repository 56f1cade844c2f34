"""Find sentences about a vital part that neither deny a fault nor say anything good of the part.

No lexicon holds every word for a fault. So a sentence about the brakes that we cannot read is a question too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from sitegen.condition.danger.matching import Context, Match, parts_of
from sitegen.condition.danger.sentences import Sentence, composed, sentences
from sitegen.records.standing.dangers import DangerWords

_REASSURING = ("good", "negations", "repaired", "none_after")
LEAST_WORDS = 3
"""A shorter sentence is a heading or a name."""


def find_unclear(text: str, lexicons: Collection[DangerWords], context: Context) -> Iterator[Match]:
    """Yield each sentence about a part of the groups `context.vital`, unless the text says something reassuring."""
    if not context.vital:
        return
    whole = composed(text)
    parsed = list(zip(*(sentences(text, lexicon.phrases) for lexicon in lexicons), strict=True))
    if any(_reassures(readings) for readings in parsed):
        return
    for readings in parsed:
        words = readings[0].words
        if len(words) >= LEAST_WORDS and _is_about(readings, context):
            yield Match(words[0].start, words[-1].end, whole[words[0].start : words[-1].end])


def _is_about(readings: Sequence[Sentence], context: Context) -> bool:
    """Return whether a sentence is about a vital part, in any language, and names no harmless thing instead."""
    parts = [part for sentence in readings for part in parts_of(sentence)]
    pronouns = {found.start for sentence in readings for found in sentence.of("pronouns")}
    plain = [part for part in parts if not part.of]
    named = [
        part
        for part in parts
        if part.of in context.vital
        and part.start not in pronouns
        and not any(other.start <= part.start and part.end <= other.end for other in plain)
    ]
    return bool(named) or (not parts and bool(context.groups & context.vital))


def _reassures(readings: Sequence[Sentence]) -> bool:
    return any(sentence.of(use) for sentence in readings for use in _REASSURING)
