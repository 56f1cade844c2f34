"""Yield each `StandingFact` from the walk: points that need attention, missing equipment, and unchecked points."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sitegen.condition.basis.checks import applicable_points, found_at, written_check
from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, StandingFact
from sitegen.condition.basis.values import Said, Word
from sitegen.condition.standing.repairs import (
    is_renewed_since,
    promises_about,
    repaired_defects,
    weak_promises_about,
)
from sitegen.condition.standing.seen import had_attention, noted
from sitegen.condition.standing.texts import FreeText, context_of
from sitegen.condition.standing.words import says, unanswered_in
from sitegen.records.disclosure import Affects, CheckNote, CheckResult, Defect
from sitegen.records.figures import Figures
from sitegen.records.reference import CheckPoint
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.answers import settled_by_work

_RANK = {affects: rank for rank, affects in enumerate(Affects)}
_UNKNOWN_POINT = CheckPoint.model_validate({"station": "cabin"})


def check_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact for each check that found something, found something missing, or has a dangerous-sounding note."""
    for point in record.checks:
        yield from _facts(record, point, figures)


def unchecked_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact for each point that nobody checked, if it concerns safety or a buyer should know it."""
    for key, point in applicable_points(record, figures.vocabulary).items():
        matters = point.important or point.usually is Affects.SAFETY
        if matters and found_at(record, key, figures.vocabulary) is CheckResult.NOT_CHECKED:
            said = Said("standing.not_checked", {"point": Word(f"point.{key}")})
            yield _fact(record, key, point, Harm.UNKNOWN, Rule.LIST, said, FactKind.NOT_LOOKED_AT, said)


def _facts(record: VehicleRecord, point: str, figures: Figures) -> Iterator[StandingFact]:
    check, known = written_check(record, point), figures.vocabulary.check_points.get(point, _UNKNOWN_POINT)
    told_by = next((defect for defect in record.defects if defect.id == check.defect), None)
    judged = _judged(record, point, check, known, told_by, figures)
    if judged is None:
        return
    harm, rule, said, kind = judged
    can_hurt = harm is Harm.CAN_HURT
    repaired = is_renewed_since(record, f"checks.{point}")
    if check.defect is not None:
        settled = repaired_defects(record, figures) if can_hurt else settled_by_work(record)
        repaired = repaired or check.defect in settled
    if repaired:
        return
    name = f"checks.{point}"
    if can_hurt:
        promises = promises_about(record, figures, part=name, defect=check.defect)
    else:
        promises = weak_promises_about(record, part=name, defect=check.defect)
    fact = _fact(record, point, known, harm, rule, said, kind)
    yield replace(fact, because=check.because, answers=promises)


def _fact(
    record: VehicleRecord,
    key: str,
    point: CheckPoint,
    harm: Harm,
    rule: Rule,
    said: Said,
    kind: FactKind,
    short: Said | None = None,
) -> StandingFact:
    return StandingFact(
        kind=kind,
        harm=harm,
        rule=rule,
        path=("checks", key),
        short=short
        or Said(f"standing.{'missing' if kind is FactKind.MISSING else 'check'}", {"point": Word(f"point.{key}")}),
        said=said,
        place=FactPlace(point.station, point=key),
        known=HowKnown.NOT_KNOWN if kind is FactKind.NOT_LOOKED_AT else HowKnown.SEEN,
        **noted(record, f"checks.{key}", had_attention(key)),
    )


def _judged(
    record: VehicleRecord, key: str, check: CheckNote, known: CheckPoint, told_by: Defect | None, figures: Figures
) -> tuple[Harm, Rule, Said, FactKind] | None:
    """Return a fact's harm, its rule for the page, its sentence and its kind.

    None if the check is no fact of its own, such as a good check, or one whose defect says it already.
    """
    name = {"point": Word(f"point.{key}")}
    words = None if check.because else _dangerous_words(record, key, check, figures)
    effect = _effect(check, known, told_by)
    if known.note_decides and check.note and words is None and check.affects is None:
        effect = min(effect, Affects.FUNCTION, key=_RANK.__getitem__)
    if check.finding is CheckResult.ATTENTION:
        if effect is Affects.SAFETY:
            if told_by is not None and told_by.affects is Affects.SAFETY:
                return None
            return Harm.CAN_HURT, Rule.HOLD, Said("gate.check", name), FactKind.CHECK
    elif check.finding is CheckResult.NOT_FITTED and check.because is None:
        expected = figures.standing.expected.get(key)
        if expected is not None and record.vehicle.year >= expected.year:
            return Harm.CAN_HURT, Rule.HOLD, Said("gate.missing", name), FactKind.MISSING
    if words is not None:
        return Harm.CAN_HURT, Rule.QUESTION, Said("gate.words_question", {"words": words}), FactKind.CHECK
    if check.finding is not CheckResult.ATTENTION or told_by is not None:
        return None
    said = Said("standing.check_noted", {**name, "note": check.note}) if check.note else Said("standing.check", name)
    return _lesser(key, check, effect, figures), Rule.LIST, said, FactKind.CHECK


def _effect(check: CheckNote, known: CheckPoint, told_by: Defect | None) -> Affects:
    """Return the effect of a check's finding: as recorded, unless that is less than usual without a reason."""
    if told_by is not None and (known.defect_decides or told_by.because is not None or check.because is not None):
        return check.affects or told_by.affects
    claimed = check.affects or known.usually
    is_less = _RANK[claimed] < _RANK[known.usually] and known.usually is Affects.SAFETY
    return Affects.SAFETY if is_less and check.because is None else claimed


def _lesser(key: str, check: CheckNote, effect: Affects, figures: Figures) -> Harm:
    """Return the harm of a finding that hurts nobody.

    The note decides whether it can strand somebody, or the check point if there is no note.
    """
    if effect is Affects.LOOKS:
        return Harm.LOOKS
    strands = says(check.note, "strands", figures) if check.note else key in figures.standing.strand_points
    return Harm.CAN_STRAND if strands else Harm.WORKS_LESS_WELL


def _dangerous_words(record: VehicleRecord, key: str, check: CheckNote, figures: Figures) -> str | None:
    if check.note is None:
        return None
    path = ("checks", key, "note")
    text = FreeText(path, check.note.versions)
    context = context_of(path, figures.standing)
    if check.defect is not None:
        context = replace(context, vital=frozenset())  # the defect says it in full
    elif check.finding is CheckResult.ATTENTION:
        context = replace(context, vital=frozenset(figures.standing.vital_when_bad))
    found = next(unanswered_in(text, context, record, figures), None)
    return found.words if found else None
