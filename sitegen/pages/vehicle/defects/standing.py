"""Sentences about standing facts (`StandingFact`), for all pages, cards and sheets.

No page finds such facts itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.checks import was_looked_at
from sitegen.condition.basis.facts import FactKind, Harm, StandingFact
from sitegen.condition.basis.findings import Condition
from sitegen.condition.standing.surfaces import SHOWN, Surface, shown_on
from sitegen.pages.language.translator import Text, Translator, join_texts, within_a_sentence
from sitegen.records.disclosure import Affects
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord

MOST_NAMED = 3
"""The number of facts that a line names if they cannot hurt or strand anybody. The others are counted."""
MOST_ON_FIRST_SCREEN = 2
NEVER_FOLDED = frozenset({Harm.CAN_HURT, Harm.CAN_STRAND})
EFFECTS = {
    Affects.LOOKS: frozenset({Harm.LOOKS}),
    Affects.FUNCTION: frozenset({Harm.WORKS_LESS_WELL, Harm.CAN_STRAND}),
    Affects.SAFETY: frozenset({Harm.CAN_HURT}),
}
"""The harms that filters and tables count under each effect."""
_SECTIONS = {
    FactKind.FIGURE: "measured",
    FactKind.CHECK: "checks",
    FactKind.MISSING: "checks",
    FactKind.NOT_LOOKED_AT: "checks",
    FactKind.RECALL: "papers",
    FactKind.TITLE: "papers",
    FactKind.ODOMETER: "papers",
}


@dataclass(frozen=True)
class StandingLine:
    """A sentence about standing facts of one harm, and the anchor of the first of them."""

    anchor: str
    words: Text


def standing_lines(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, surface: Surface, translator: Translator
) -> tuple[StandingLine, ...]:
    """Return the sentences about standing facts that a surface shows, the worst first.

    If there are none, the sentences say whether the vehicle was repaired, checked or not looked at.
    """
    facts = shown_on(surface, condition.standing)
    lines = []
    if not was_looked_at(record, vocabulary):
        lines.append(StandingLine("checks", translator.tell("summary.not_looked_at")))
    for harm in (Harm.CAN_HURT, Harm.CAN_STRAND, Harm.WORKS_LESS_WELL, Harm.PAPERS):
        of_harm = [fact for fact in facts if fact.harm is harm]
        if of_harm:
            most = MOST_ON_FIRST_SCREEN if surface is Surface.FIRST_SCREEN else MOST_NAMED
            lines.append(StandingLine(anchor_of(of_harm[0]), _group(harm, of_harm, most, translator)))
    looks = [fact for fact in facts if fact.harm is Harm.LOOKS]
    if looks and not any(fact.harm.rank < Harm.UNKNOWN.rank for fact in facts):
        key = "summary.worst.looks"
        lines.append(StandingLine(anchor_of(looks[0]), translator.tell_count(key, len(looks))))
    if not any(fact.is_open and fact.harm is not Harm.UNKNOWN for fact in condition.standing):
        lines += [
            StandingLine("defects", words) for words in _nothing_stands(record, condition, vocabulary, translator)
        ]
    return tuple(lines)


def standing_text(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, surface: Surface, translator: Translator
) -> Text:
    """Return the lines of a surface joined to one text."""
    return join_texts(line.words for line in standing_lines(record, condition, vocabulary, surface, translator))


def anchor_of(fact: StandingFact) -> str:
    """Return the anchor of the place on the vehicle's page that describes a fact in full."""
    if fact.defect is not None and fact.kind is FactKind.DEFECT:
        return fact.defect
    return _SECTIONS.get(fact.kind, "defects")


def fact_words(fact: StandingFact, translator: Translator) -> Text:
    """Return the short name of a standing fact, as an item of a list within a sentence."""
    (name,) = translator.tell_sentences((fact.short,))
    return _within_a_list(name)


def _within_a_list(name: Text) -> Text:
    """Return a name with a lower-case first letter, unless it begins with words of the store in another language."""
    if not name.pieces:
        return Text(within_a_sentence(name.text), name.language)
    first, *others = name.pieces
    first = Text(within_a_sentence(first.text), None) if first.language is None else first
    return join_texts((first, *others), between="")


def unknown_words(condition: Condition, translator: Translator) -> Text | None:
    """Return the sentence that names safety-related parts that were not measured. None if all were."""
    unknown = [fact for fact in condition.standing if fact.harm is Harm.UNKNOWN]
    unmeasured = [fact for fact in unknown if fact.place.point is None]
    if not unmeasured:
        return None
    return translator.tell("standing.unmeasured", facts=_named(unmeasured, 2, translator))


def unchecked_names(condition: Condition, translator: Translator) -> tuple[str, ...]:
    """Return the names of the safety-related points that nobody checked."""
    unknown = [fact for fact in condition.standing if fact.harm is Harm.UNKNOWN and fact.place.point is not None]
    return tuple(translator.sentence(fact.short) for fact in unknown)


def is_whole(condition: Condition) -> bool:
    """Return whether everything that concerns safety was measured or checked."""
    return not any(fact.harm is Harm.UNKNOWN for fact in condition.standing)


def count_by_effect(condition: Condition) -> dict[Affects, int]:
    """Return for each effect the number of standing facts that no promise answers."""
    facts = [fact for fact in condition.standing if fact.is_open]
    return {effect: sum(fact.harm in harms for fact in facts) for effect, harms in EFFECTS.items()}


def effects_of(record: VehicleRecord, condition: Condition) -> dict[str, Affects]:
    """Return the effect of each listed defect, by its standing fact or else by the record."""
    harms = {fact.defect: fact.harm for fact in reversed(condition.standing) if fact.kind is FactKind.DEFECT}
    standing = {
        defect: effect for defect, harm in harms.items() for effect, of_effect in EFFECTS.items() if harm in of_effect
    }
    return {defect.id: standing.get(defect.id, defect.affects) for defect in record.defects}


def headline(condition: Condition, translator: Translator) -> str | None:
    """Return the worst standing fact and the number of others. None if all are cosmetic or unknown."""
    facts = [fact for fact in condition.standing if fact.harm in SHOWN[Surface.SHARE_PICTURE]]
    if not facts:
        return None
    name = fact_words(facts[0], translator)
    told = name if facts[0].is_open else translator.tell("share.promised", fact=name)
    more = len(facts) - 1
    return (translator.tell_count("standing.and_more", more, facts=told) if more else told).text


def count_put_right(record: VehicleRecord, condition: Condition) -> int:
    """Return the number of listed defects that are repaired, or will be at delivery."""
    standing = {fact.defect for fact in condition.standing if fact.kind is FactKind.DEFECT and fact.is_open}
    return len({defect.id for defect in record.defects} - standing)


def damage_words(condition: Condition, translator: Translator) -> tuple[str, ...]:
    """Return a sentence for each damage that is not repaired. JSON-LD has these and no other facts."""
    facts = [fact for fact in shown_on(Surface.JSON_LD, condition.standing) if fact.kind is FactKind.DEFECT]
    return tuple(
        translator.say(
            "standing.damage", fact=fact_words(fact, translator).text, words=translator.sentence(fact.said)
        )
        for fact in facts
    )


def _group(harm: Harm, facts: Sequence[StandingFact], most: int, translator: Translator) -> Text:
    most = len(facts) if harm in NEVER_FOLDED else most
    return translator.tell(f"standing.group.{harm.value.replace(' ', '_')}", facts=_named(facts, most, translator))


def _named(facts: Sequence[StandingFact], most: int, translator: Translator) -> Text:
    named = join_texts((fact_words(fact, translator) for fact in facts[:most]), between="; ")
    if len(facts) <= most:
        return named
    return translator.tell_count("standing.and_more", len(facts) - most, facts=named)


def _nothing_stands(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> Iterator[Text]:
    """Yield the reason why there are no standing facts: all repaired, nothing found, or nothing noted."""
    if record.defects or (condition.standing and not all(fact.is_open for fact in condition.standing)):
        yield translator.tell("summary.worst.put_right")
    elif not record.states("defects"):
        yield translator.tell("summary.worst.not_noted")
    elif was_looked_at(record, vocabulary):
        yield translator.tell("summary.worst.none" if is_whole(condition) else "summary.worst.none_where_looked")
