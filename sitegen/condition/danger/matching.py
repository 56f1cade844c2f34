"""Find phrases that name a part together with a bad condition and are not negated.

The rules are rough on purpose: one question too many costs the store a line, one too few can cost a life.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from sitegen.condition.danger.sentences import Found, Sentence, composed, may_be_dangerous, sentences
from sitegen.records.standing.dangers import DangerWords

PART_BEFORE, PART_AFTER, DENIED_WITHIN = 12, 6, 8
"""The most words between a condition and the part before it, the part after it, and a negation."""
ANSWER_AT_MOST = 6
"""The most words of a sentence, such as "Replaced.", that refers to the sentence before it."""


@dataclass(frozen=True)
class Match:
    """Words by which a text says that something is dangerous. `start` and `end` are offsets in the composed text."""

    start: int
    end: int
    words: str


@dataclass(frozen=True)
class Context:
    """The implied subject of a text: the note on a tire is about the tire."""

    groups: frozenset[str] = frozenset()
    """The groups of parts that the place implies."""
    is_promise: bool = False
    """Whether its verbs say what will be done."""
    vital: frozenset[str] = frozenset()
    """The groups of parts about which a sentence must say something good or deny a fault; see `unclear`."""
    is_missing: bool = False
    """Whether the text lists what is absent, as the list of missing equipment does."""


NO_CONTEXT = Context()


def find_dangers(text: str, lexicon: DangerWords, context: Context = NO_CONTEXT) -> Iterator[Match]:
    """Yield each match of a dangerous phrase in a text of one language."""
    if not context.is_missing and not may_be_dangerous(text, lexicon.phrases):
        return
    parsed = sentences(text, lexicon.phrases)
    whole = composed(text)
    for number, sentence in enumerate(parsed):
        if context.is_missing or _has_triggers(sentence):
            reader = _Reader(parsed, number, lexicon, context)
            for start, end in reader.dangers():
                yield Match(start, end, whole[start:end])


def _has_triggers(sentence: Sentence) -> bool:
    return bool(sentence.of("bad") or sentence.of("alone") or sentence.of("do_not_drive") or sentence.of("negations"))


def is_said(text: str, lexicon: DangerWords, use: str) -> bool:
    """Return whether a text has a phrase of the lexicon's list `use`, such as `rust`, that is not negated."""
    parsed = sentences(text, lexicon.phrases)
    for number, sentence in enumerate(parsed):
        said = sentence.of(use)
        if said:
            reader = _Reader(parsed, number, lexicon, NO_CONTEXT)
            if any(not reader.is_denied(found.start) for found in said):
                return True
    return False


def names_a_repair(text: str, lexicon: DangerWords) -> bool:
    """Return whether a text names a repair that is done or planned."""
    return any(sentence.of("repaired") or sentence.of("repairing") for sentence in sentences(text, lexicon.phrases))


def groups_named(text: str, lexicon: DangerWords) -> frozenset[str]:
    """Return the groups of parts that a text names."""
    return frozenset(
        part.of for sentence in sentences(text, lexicon.phrases) for part in parts_of(sentence) if part.of
    )


def names_something_plain(text: str, lexicon: DangerWords) -> bool:
    """Return whether a text names a harmless thing, such as a hub cap."""
    return any(not part.of for sentence in sentences(text, lexicon.phrases) for part in parts_of(sentence))


def parts_of(sentence: Sentence) -> list[Found]:
    """Return the parts and other things in order of occurrence; of two that begin at one word, the longer."""
    named = sorted((*sentence.of("part"), *sentence.of("plain")), key=lambda found: (found.start, -found.end))
    parts: list[Found] = []
    for found in named:
        if not parts or found.start >= parts[-1].end:
            parts.append(found)
        elif found.end > parts[-1].end and found.start > parts[-1].start and found.end - found.start > 1:
            parts[-1] = found  # "front wheel bearing": the later and longer name is meant
        elif found.start == parts[-1].start and found.end == parts[-1].end and found.of:
            parts.append(found)  # one word may name two groups
    return parts


class _Reader:
    """The analysis of one sentence."""

    def __init__(self, parsed: Sequence[Sentence], number: int, lexicon: DangerWords, context: Context) -> None:
        self.sentence, self.lexicon, self.context = parsed[number], lexicon, context
        self.parts = parts_of(self.sentence)
        self._parsed, self._number = parsed, number
        self.words = self.sentence.words
        self._no_denial = {
            place for found in self.sentence.of("negates_not") for place in range(found.start, found.end)
        }

    @property
    def following(self) -> Sentence | None:
        """The sentence after this one. None after the last."""
        return self._parsed[self._number + 1] if self._number + 1 < len(self._parsed) else None

    def spoken_of(self) -> frozenset[str]:
        """Return the groups that the place implies, and those of the last earlier sentence that names parts."""
        before = (parts_of(self._parsed[number]) for number in range(self._number - 1, -1, -1))
        named = next((parts for parts in before if parts), [])
        return self.context.groups.union(part.of for part in named if part.of)

    def dangers(self) -> Iterator[tuple[int, int]]:
        """Yield the start and end of each dangerous phrase, as offsets in the text."""
        for found in (*self.sentence.of("alone"), *self.sentence.of("do_not_drive")):
            if not self._is_within_a_name(found) and not self.is_denied(found.start):
                yield self._extent([found])
        for condition in self._conditions():
            involved = list(self._involved_in(condition))
            if not self._is_bad_for(condition, involved):
                continue
            if self.is_denied(condition.start) or self._is_denied_after(condition):
                continue
            parts = [part for part in involved if isinstance(part, Found)]
            if not self._is_put_right(condition, parts):
                yield self._extent([condition, *parts])
        yield from self._missing()

    def _conditions(self) -> Iterator[Found]:
        """Yield the bad conditions outside of names. Of several at one word, the longest of each group counts."""
        for condition in self.sentence.of("bad"):
            if not self._is_within_a_name(condition):
                yield condition

    def _is_within_a_name(self, found: Found) -> bool:
        return any(part.start <= found.start and found.end <= part.end for part in self.parts)

    def _involved_in(self, condition: Found) -> Iterator[Found | str]:
        """Yield the parts that a condition may refer to, and the groups implied by the place or the text before."""
        near = list(self._parts_near(condition))
        yield from near
        if all(self._is_pronoun(part) for part in near):
            named = [part for part in self.parts if part.end <= condition.start and not self._is_pronoun(part)]
            yield from named[-1:] or self.spoken_of()
        elif not any(self._precedes(part, condition) for part in near if isinstance(part, Found)):
            yield from self.context.groups  # "howls, can rock the tire by hand": a note on a bearing

    def _precedes(self, part: Found, condition: Found) -> bool:
        """Return whether a part is before a condition, or in the same piece of the sentence."""
        return part.start < condition.start or self._segment(part) == self._segment(condition)

    def _is_pronoun(self, part: Found | str) -> bool:
        """Return whether a part is a word such as "it", which stands for a part named before."""
        if isinstance(part, str):
            return False
        return any(found.start == part.start and found.end == part.end for found in self.sentence.of("pronouns"))

    def _parts_near(self, condition: Found) -> Iterator[Found | str]:
        before = [part for part in self.parts if part.end <= condition.start]
        before = [part for part in before if condition.start - part.end <= PART_BEFORE]
        after = [part for part in self.parts if part.start >= condition.end]
        after = [
            part for part in after if part.start - condition.end <= PART_AFTER and not self._broken(condition, part)
        ]
        nearest = before[-1:] and [part for part in before if part.start == before[-1].start]
        if nearest and self._broken(nearest[0], condition):
            nearest = []
        if nearest and after and self._segment(nearest[0]) != self._segment(condition) == self._segment(after[0]):
            nearest = []
        if nearest:
            yield from nearest
            yield from self._of_place(nearest)
            yield from self._joined_before(nearest[0], before)
        if after and not (nearest and not nearest[0].of and self._is_near(condition, after[0])):
            first = [part for part in after if part.start == after[0].start]
            yield from first
            yield from self._of_place(first)
            for one, other in pairwise(after):
                if other.start - one.end > 2 or not self._linked(one.end, other.start):
                    break
                yield other

    def _of_place(self, named: Sequence[Found]) -> frozenset[str]:
        """Return the groups that the place implies, if the sentence names a thing of them, such as "hose"."""
        means = {(found.start, found.end) for found in self.sentence.of("of_place")}
        meant = any((part.start, part.end) in means for part in named)
        return self.context.groups if meant else frozenset()

    def _joined_before(self, part: Found, before: Sequence[Found]) -> Iterator[Found]:
        """Yield the parts in one list with a part: "brakes, tie rods and ball joints"."""
        for one in reversed([other for other in before if other.end <= part.start]):
            is_compound = one.end == part.start and self._segment(one) == self._segment(part)  # "brake hose"
            if not is_compound and (part.start - one.end > 2 or not self._linked(one.end, part.start)):
                return
            yield one
            part = one

    def _linked(self, start: int, end: int) -> bool:
        """Return whether only a comma or a word such as "and" lies between two words."""
        if start == end:
            return self.words[start].segment != self.words[start - 1].segment
        return any(start <= found.start < end for found in self.sentence.of("links"))

    def _broken(self, one: Found, other: Found) -> bool:
        """Return whether a word such as "but" begins a new statement between two phrases."""
        goes_on = {found.start for found in self.sentence.of("still")}  # "pedal still soft" is one statement
        return any(
            one.end <= found.start < other.start and found.start not in goes_on
            for found in self.sentence.of("breaks")
        )

    def _is_near(self, condition: Found, part: Found) -> bool:
        return any(condition.end <= found.start < part.start for found in self.sentence.of("near"))

    def _segment(self, found: Found) -> int:
        return self.words[found.start].segment

    def _is_bad_for(self, condition: Found, involved: Iterable[Found | str]) -> bool:
        groups = {part.of if isinstance(part, Found) else part for part in involved} - {""}
        if condition.of:
            return condition.of in groups
        known = self.lexicon.groups
        return any(known[group].general for group in groups if group in known)

    def is_denied(self, place: int) -> bool:
        """Return whether a word before a place negates it, and nothing after it says when it is true all the same."""
        if any(found.start > place for found in self.sentence.of("exceptions")):
            return False
        verbs = {found.start for found in self.sentence.of("verbs")}
        denials = {found.start for found in self.sentence.of("negations")} - self._no_denial
        breaks = {found.start for found in self.sentence.of("breaks")}
        behind_verb = False
        for before in range(place - 1, max(place - DENIED_WITHIN, 0) - 1, -1):
            if before in denials and self._reaches(before, place):
                return True
            if before in breaks:
                return False
            named = next((part for part in self.parts if part.start <= before < part.end), None)
            new_segment = self.words[before].segment != self.words[place].segment
            if named and (behind_verb or new_segment or self._begins_after_and(named)):
                return any(near in denials for near in range(max(named.start - 2, 0), named.start))
            if before in verbs:
                behind_verb = True
        return False

    def _reaches(self, denial: int, place: int) -> bool:
        """Return whether a negation counts at a place: that of a verb ends at a comma, unless "or" follows."""
        if self.words[denial].segment == self.words[place].segment:
            return True
        if self._has_a_subject(place):
            return False  # "no caps left, needles gone"
        is_of_verb = any(found.start == denial for found in self.sentence.of("of_verbs"))
        return not is_of_verb or any(found.start > denial for found in self.sentence.of("or_words"))

    def _has_a_subject(self, place: int) -> bool:
        """Return whether the piece of the sentence up to a place begins with a word that is no link or condition."""
        first = place
        while first > 0 and self.words[first - 1].segment == self.words[place].segment:
            first -= 1
        uses = ("links", "or_words", "bad", "negations", "verbs", "part", "plain")
        known = {
            number for use in uses for found in self.sentence.of(use) for number in range(found.start, found.end)
        }
        return first < place and first not in known

    def _begins_after_and(self, part: Found) -> bool:
        """Return whether a part is the subject of a statement of its own: "and the hose"."""
        return any(0 <= part.start - found.end <= 1 and part.start > found.end for found in self.sentence.of("links"))

    def _is_denied_after(self, condition: Found) -> bool:
        return any(0 <= found.start - condition.end <= 3 for found in self.sentence.of("none_after"))

    def _is_put_right(self, condition: Found, parts: Sequence[Found]) -> bool:
        """Return whether the sentence, or a short one after it, says that the fault was repaired."""
        if any(True for _ in self.sentence.of("still")):
            return False
        meant = {part.start for part in parts}
        for found in self._repairs(self.sentence):
            between = [part for part in self.parts if part.start not in meant]
            if found.start < condition.start:
                begun = min((condition.start, *(part.start for part in parts if part.start > found.start)))
                crossed = any(found.end <= part.start < begun for part in between)
            else:
                ended = max((condition.end, *(part.end for part in parts if part.end <= found.start)))
                crossed = any(ended <= part.start < found.start for part in between)
            if not crossed and not self._broken_between(found, condition):
                return True
        following = self.following
        if following is None or len(following.words) > ANSWER_AT_MOST or following.of("bad"):
            return False
        return not parts_of(following) and any(True for _ in self._repairs(following))

    def _broken_between(self, one: Found, other: Found) -> bool:
        first, last = (one, other) if one.start < other.start else (other, one)
        return self._broken(first, last)

    def _repairs(self, sentence: Sentence) -> Iterator[Found]:
        """Yield the words that name a repair as done, or as planned in a promise."""
        uses = ("repaired", "repairing") if self.context.is_promise else ("repaired",)
        not_yet = sentence.of("not_yet")
        for use in uses:
            for found in sentence.of(use):
                if not any(0 <= found.start - word.end <= 3 for word in not_yet):
                    yield found

    def _missing(self) -> Iterator[tuple[int, int]]:
        """Yield where a text says that an essential part is missing.

        Such as "no brakes", or an entry in a list of missing equipment.
        """
        denials = {found.start: found for found in self.sentence.of("negations")}
        after_none = {found.start for found in self.sentence.of("after_none")}
        for part in self.parts:
            if not part.of or not self.lexicon.groups[part.of].essential:
                continue
            if self.context.is_missing:
                yield self._extent([part])
                continue
            denial = next((denials[place] for place in (part.start - 1, part.start - 2) if place in denials), None)
            if denial is None or denial.start in self._no_denial:
                continue
            ends = part.end == len(self.words) or self.words[part.end].segment != self.words[part.end - 1].segment
            if ends or part.end in after_none:
                yield self._extent([denial, part])

    def _extent(self, found: Sequence[Found]) -> tuple[int, int]:
        first, last = min(one.start for one in found), max(one.end for one in found)
        return self.words[first].start, self.words[last - 1].end
