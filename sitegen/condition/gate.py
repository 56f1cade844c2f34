"""Decide whether a vehicle's page may be published, and what it must say first.

The gate decides from the standing facts whether somebody can be hurt. The figures are a model for inspections, and
local rules decide; so the page says "below the inspection figure", and what the store will do comes first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.condition.basis.facts import FactKind, StandingFact
from sitegen.condition.basis.findings import Gate, Hold
from sitegen.condition.basis.values import Said
from sitegen.records.disclosure import Promise
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

_NOT_ON_THE_ROAD = Said("gate.not_for_road_use")


def gate(record: VehicleRecord, facts: Sequence[StandingFact]) -> Gate:
    """Return whether the page may be published, the reasons that hold it back, and what it must say first.

    The page of a sold vehicle stays, since nobody is offered it. One sold for parts or off-road use may be published,
    and says so first.
    """
    held = tuple(fact for fact in facts if fact.holds)
    may_publish = not held or record.not_for_road_use or record.status is Status.SOLD
    return Gate(
        may_publish=may_publish,
        holding=() if may_publish else tuple(hold_of(fact) for fact in held),
        first_words=tuple(_first_words(record, facts)),
    )


def hold_of(fact: StandingFact) -> Hold:
    """Return the `Hold` of a standing fact: the reason why the page may not be published."""
    return Hold(fact.path, fact.said, is_question=fact.rule is Rule.QUESTION, defect=fact.defect)


def _first_words(record: VehicleRecord, facts: Sequence[StandingFact]) -> Iterator[Said]:
    """Yield the first sentences of the page: that nobody may drive it, reasons to hold it back, then other facts.

    Each reason comes with its answer. A reason without an answer is included too: the page of a vehicle that is sold,
    or for parts, is published all the same.
    """
    grounded = [fact for fact in facts if fact.says_first]
    if record.not_for_road_use or any(fact.kind is FactKind.TITLE for fact in grounded):
        yield _NOT_ON_THE_ROAD
    yield from (fact.said for fact in grounded)
    stated: list[Promise] = []
    for fact in sorted(facts, key=lambda fact: fact.rule is Rule.STATE_FIRST):
        if fact.rule is not Rule.LIST and not fact.says_first:
            yield fact.said
            for promise in fact.answers:
                if promise not in stated:
                    stated.append(promise)
                    yield Said("gate.before_delivery", {"what": promise.what})
