"""Yield a `StandingFact` for each unrepaired defect: a fact that a buyer should know, with its harm."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, Path, StandingFact
from sitegen.condition.basis.values import Said, Value, Word
from sitegen.condition.danger.matching import NO_CONTEXT, names_something_plain
from sitegen.condition.standing.repairs import promises_about, repaired_defects, weak_promises_about
from sitegen.condition.standing.seen import had_defect, noted
from sitegen.condition.standing.texts import FreeText
from sitegen.condition.standing.words import about_part, groups_of, says, unanswered_in
from sitegen.records.disclosure import Affects, Defect, LeftAsItIs
from sitegen.records.figures import Figures
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.answers import settled_by_work

_ORDER = list(Affects)


def defect_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact for each defect of the record that is not repaired.

    Its harm decides whether it holds the page back.
    """
    for place, defect in enumerate(record.defects):
        yield from _facts(record, defect, ("defects", place), figures)


def _facts(record: VehicleRecord, defect: Defect, path: Path, figures: Figures) -> Iterator[StandingFact]:
    harm, rule, said, step = _judged(record, defect, figures)
    can_hurt = harm is Harm.CAN_HURT
    if defect.id in (repaired_defects(record, figures) if can_hurt else settled_by_work(record)):
        return
    promises = (
        promises_about(record, figures, defect=defect.id)
        if can_hurt
        else weak_promises_about(record, defect=defect.id)
    )
    name: dict[str, Value] = {"kind": Word(kind_key(defect.kind)), "part": defect.where.part}
    yield StandingFact(
        kind=FactKind.DEFECT,
        harm=harm,
        rule=rule,
        path=(*path, step),
        short=Said("standing.defect", name),
        said=said,
        place=FactPlace(
            defect.where.station, Wheel[defect.where.wheel.name] if defect.where.wheel else None, defect.where.part
        ),
        known=HowKnown.SEEN,
        defect=defect.id,
        because=defect.because,
        answers=promises,
        **noted(record, f"defects.{defect.id}", had_defect(defect.id)),
    )


def kind_key(kind: str) -> str:
    """Return the message key of a kind of defect."""
    return f"kind.{kind.replace(' ', '_')}"


def _judged(record: VehicleRecord, defect: Defect, figures: Figures) -> tuple[Harm, Rule, Said, str]:
    """Return the harm of a defect, the rule for the page, the sentence, and the key in the record that decided it."""
    words = {"words": defect.words}
    if defect.affects is Affects.SAFETY:
        return Harm.CAN_HURT, Rule.HOLD, Said("gate.safety_defect", words), "affects"
    if defect.because is None:
        if defect.kind in figures.tires.ends_life:
            return Harm.CAN_HURT, Rule.HOLD, Said("gate.tire_ended", words), "kind"
        kind = figures.vocabulary.defect_kinds.get(defect.kind)
        if kind is not None and kind.usually is Affects.SAFETY:
            about: dict[str, Value] = {**words, "kind": Word(kind_key(defect.kind))}
            return Harm.CAN_HURT, Rule.QUESTION, Said("gate.kind_question", about), "affects"
        if (dangerous := _dangerous_words(record, defect, figures)) is not None:
            return Harm.CAN_HURT, Rule.QUESTION, Said("gate.words_question", {"words": dangerous}), "affects"
    harm = _lesser(defect, figures)
    return harm, Rule.LIST, Said("standing.defect_words", words), "affects"


def _lesser(defect: Defect, figures: Figures) -> Harm:
    if defect.affects is Affects.LOOKS:
        return Harm.LOOKS
    is_stranding = defect.kind in figures.standing.strand_kinds or says(defect.words, "strands", figures)
    return Harm.CAN_STRAND if is_stranding else Harm.WORKS_LESS_WELL


def _dangerous_words(record: VehicleRecord, defect: Defect, figures: Figures) -> str | None:
    """Return the first dangerous-sounding words of a defect that `harmless` does not answer, or None.

    A kind of defect that is dangerous at a vital part counts too; then return the part's name.
    """
    context = about_part(NO_CONTEXT, defect.where.part, figures)
    texts = [defect.where.part, defect.words, *(photo.shows for photo in defect.photos)]
    if defect.done is not None and not isinstance(defect.done, LeftAsItIs):
        texts.append(defect.done)
    for text in texts:
        about = NO_CONTEXT if text is defect.where.part else context
        for found in unanswered_in(FreeText(("defects",), text.versions), about, record, figures):
            return found.words
    if defect.kind in figures.standing.implied_bad and _names_a_vital_part(defect, figures):
        return defect.where.part.versions.get("en") or next(iter(defect.where.part.versions.values()))
    return None


def _names_a_vital_part(defect: Defect, figures: Figures) -> bool:
    """Return whether a defect's part is vital and its words name no lesser thing, such as a hub cap."""
    lexicons = figures.lexicons.root.values()
    if any(names_something_plain(text, lexicon) for text in defect.words.versions.values() for lexicon in lexicons):
        return False
    named = groups_of(defect.where.part.versions.values(), figures)
    return any(lexicon.groups[group].general for lexicon in lexicons for group in named if group in lexicon.groups)
