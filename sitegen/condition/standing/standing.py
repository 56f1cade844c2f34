"""Collect and order the standing facts of a vehicle."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, StandingFact
from sitegen.condition.basis.values import Said
from sitegen.condition.standing.batteries import battery_facts
from sitegen.condition.standing.brakes import brake_facts, fluid_facts
from sitegen.condition.standing.checks import check_facts, unchecked_facts
from sitegen.condition.standing.defects import defect_facts
from sitegen.condition.standing.papers import paper_facts
from sitegen.condition.standing.seen import noted
from sitegen.condition.standing.tires import tire_facts
from sitegen.condition.standing.words import unanswered_words
from sitegen.records.disclosure import WALK_ORDER
from sitegen.records.figures import Figures
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle_record import VehicleRecord

_TOLD_BY_THEIR_OWN_FACTS = frozenset({"defects", "checks", "recalls"})


def standing_facts(record: VehicleRecord, figures: Figures) -> tuple[StandingFact, ...]:
    """Return everything that a buyer should know and that nobody has put right, the worst first.

    A fact that the store promises to put right stays in the list, with the promise, until it is done.
    """
    facts = (
        *defect_facts(record, figures),
        *check_facts(record, figures),
        *tire_facts(record, figures),
        *brake_facts(record, figures),
        *fluid_facts(record, figures),
        *battery_facts(record, figures),
        *paper_facts(record, figures),
        *_word_facts(record, figures),
        *unchecked_facts(record, figures),
    )
    return tuple(sorted(facts, key=_order))


def open_facts(facts: tuple[StandingFact, ...], *harms: Harm) -> tuple[StandingFact, ...]:
    """Return the facts with the given harms that no promise answers."""
    return tuple(fact for fact in facts if fact.is_open and fact.harm in harms)


def _order(fact: StandingFact) -> tuple[bool, int, bool, bool, bool, int]:
    """Return a sort key: harm first, then facts that needed a reason, then defects, then walk order."""
    station = len(WALK_ORDER) if fact.place.station is None else WALK_ORDER[fact.place.station]
    is_defect = fact.kind is FactKind.DEFECT
    return (
        *(not fact.says_first, fact.harm.rank, not fact.is_open),
        *(fact.because is None, not is_defect, station),
    )


def _word_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a question for each dangerous-sounding text whose place has no standing fact of its own.

    A question is a fact that holds the page back until the record answers it.
    """
    for found in unanswered_words(record, figures, _TOLD_BY_THEIR_OWN_FACTS):
        said = Said("gate.words_question", {"words": found.words})
        yield StandingFact(
            kind=FactKind.WORDS,
            harm=Harm.CAN_HURT,
            rule=Rule.QUESTION,
            path=(*found.path, found.language) if found.language else found.path,
            short=Said("standing.words", {"words": found.words}),
            said=said,
            place=FactPlace(),
            known=HowKnown.WRITTEN,
            **noted(record),
        )
