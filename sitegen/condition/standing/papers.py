"""Yield each `StandingFact` about the papers: title brand, open recalls, odometer statement."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, Path, StandingFact
from sitegen.condition.basis.values import Said, Value
from sitegen.condition.standing.seen import noted
from sitegen.condition.standing.words import says
from sitegen.records.base import LocalizedText
from sitegen.records.figures import Figures
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle import NoBrand, OdometerStatement, Recall
from sitegen.records.vehicle_record import VehicleRecord

RELIED_ON = (OdometerStatement.ACTUAL, OdometerStatement.EXEMPT, OdometerStatement.NOT_STATED)


def paper_facts(record: VehicleRecord, figures: Figures) -> Iterator[StandingFact]:
    """Yield a fact for a title brand, for each open recall, and for an odometer that is not reliable."""
    title = record.title
    if title is not None and not isinstance(title.brand, NoBrand):
        yield _title(record, title.brand, figures)
    for place, recall in enumerate(record.recalls.open if record.recalls else ()):
        yield _recall(record, place, recall, figures)
    if record.odometer.statement not in RELIED_ON:
        key = f"standing.odometer_{record.odometer.statement.value.replace(' ', '_')}"
        path = ("odometer", "statement")
        yield _fact(record, FactKind.ODOMETER, Harm.PAPERS, Rule.LIST, path, Said(key), Said(key))


def is_for_parts_only(record: VehicleRecord, figures: Figures) -> bool:
    """Return whether the title forbids driving the vehicle on the road."""
    title = record.title
    if title is None or isinstance(title.brand, NoBrand):
        return False
    return says(title.brand, "parts_only", figures) or says(title.brand, "do_not_drive", figures)


def _title(record: VehicleRecord, brand: LocalizedText, figures: Figures) -> StandingFact:
    words: dict[str, Value] = {"brand": brand}
    path: Path = ("title", "brand")
    if is_for_parts_only(record, figures):
        said = Said("gate.title_for_parts", words)
        return _fact(
            record,
            FactKind.TITLE,
            Harm.CAN_HURT,
            Rule.STATE_FIRST,
            path,
            said,
            Said("standing.title", words),
            True,
        )
    if says(brand, "brands", figures):
        said = Said("gate.title", words)
        return _fact(
            record, FactKind.TITLE, Harm.CAN_HURT, Rule.STATE_FIRST, path, said, Said("standing.title", words)
        )
    return _fact(
        record,
        FactKind.TITLE,
        Harm.PAPERS,
        Rule.LIST,
        path,
        Said("gate.title", words),
        Said("standing.title", words),
    )


def _recall(record: VehicleRecord, place: int, recall: Recall, figures: Figures) -> StandingFact:
    """Return the fact about an open recall. By law a recall concerns safety: 49 USC 30118."""
    what = LocalizedText({language: text.rstrip(". ") for language, text in recall.what.versions.items()})
    texts = [text for text in (recall.what, recall.remedy) if text is not None]
    path: Path = ("recalls", "open", place)
    is_grounded = any(says(text, "do_not_drive", figures) for text in texts)
    words: dict[str, Value] = {"what": what}
    key = "gate.recall_do_not_drive" if is_grounded else "gate.recall"
    short = Said("standing.recall", {"what": what})
    said = Said(key, words)
    return _fact(record, FactKind.RECALL, Harm.CAN_HURT, Rule.STATE_FIRST, path, said, short, says_first=is_grounded)


def _fact(
    record: VehicleRecord,
    kind: FactKind,
    harm: Harm,
    rule: Rule,
    path: Path,
    said: Said,
    short: Said,
    says_first: bool = False,
) -> StandingFact:
    return StandingFact(
        kind=kind,
        harm=harm,
        rule=rule,
        path=path,
        short=short,
        said=said,
        place=FactPlace(),
        known=HowKnown.PAPERS,
        says_first=says_first,
        **noted(record),
    )
