"""The first screen of a condition page: the lines that decide whether to read on, each with a link to its section."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import Band
from sitegen.condition.standing.surfaces import Surface
from sitegen.pages.language.translator import Text, Translator, join_texts
from sitegen.pages.vehicle.defects.standing import (
    StandingLine,
    is_whole,
    standing_lines,
    unchecked_names,
    unknown_words,
)
from sitegen.pages.vehicle.disclosure import unchecked_points
from sitegen.pages.vehicle.identity import terms_words
from sitegen.pages.vehicle.measured.rulers import Ruler
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet
from sitegen.pages.vehicle.outlook import OutlookView
from sitegen.pages.vehicle.summary import (
    MOST_NAMED_IN_BRIEF,
    KeyFigure,
    lowest_tread,
    named_items,
    thinnest_lining,
)
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle import NoBrand
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class LowestFigure:
    """The lowest tread or thinnest lining with a small ruler, and the anchor of its section."""

    anchor: str
    figure: KeyFigure
    ruler: Ruler | None
    """None if nothing was measured."""


@dataclass(frozen=True)
class FirstScreen:
    """The lines of the first screen. A fact that the record does not have is shown as such, never left out."""

    worst: tuple[StandingLine, ...]
    """The standing facts, the worst first. Each line links to its first fact."""
    plan: str | None
    """"Plan for about $950 in the first year, plus about $400 that has no record."; None if nothing has a price."""
    due: str
    lowest: tuple[LowestFigure, ...]
    papers: Text
    unchecked: str
    key: str | None = None
    """The legend of the hatched part of the rulers, if any has one."""


def first_screen(
    record: VehicleRecord,
    condition: Condition,
    sets: tuple[WheelSet, ...],
    outlook: OutlookView,
    vocabulary: Vocabulary,
    translator: Translator,
) -> FirstScreen:
    """Return the view of the first screen."""
    lowest = _lowest(condition, sets, translator)
    return FirstScreen(
        worst=standing_lines(record, condition, vocabulary, Surface.FIRST_SCREEN, translator),
        plan=outlook.plan.in_brief if outlook.plan else None,
        due=_due(condition, translator),
        lowest=lowest,
        papers=_papers(record, translator),
        unchecked=_unchecked(record, condition, vocabulary, translator),
        key=translator.say("first.key") if any(one.ruler and one.ruler.hatching for one in lowest) else None,
    )


def _unchecked(record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator) -> str:
    """Return the sentence that lists what was not checked or measured, safety-related points first.

    If nothing is missing, the sentence says that.
    """
    vital = unchecked_names(condition, translator)
    unchecked = [
        point
        for important in (True, False)
        for point in unchecked_points(record, vocabulary, translator, important=important)
    ]
    points = [*vital, *(point for point in unchecked if point not in vital)]
    unmeasured = unknown_words(condition, translator)
    sentences = [translator.say("first.none_unchecked")] if is_whole(condition) else []
    if points:
        most = 4 if vital and not unmeasured else MOST_NAMED_IN_BRIEF
        sentences.append(translator.say("first.unchecked", points=translator.some_of(points, most=most)))
    return " ".join([*sentences, *([unmeasured.text] if unmeasured else [])])


def _due(condition: Condition, translator: Translator) -> str:
    """Return the sentence about due services and services without a record.

    If there are neither, it lists those of the first year.
    """
    outlook = condition.outlook
    sentences = [
        words
        for key, keys in (
            ("summary.next.due_now", outlook.due_now()),
            ("first.no_record", outlook.without_record()),
        )
        if (words := named_items(key, keys, translator, MOST_NAMED_IN_BRIEF))
    ]
    if sentences:
        return " ".join(sentences)
    soon = [item.key for item in outlook.items if item.band_from in (Band.DUE_NOW, Band.FIRST_YEAR)]
    return named_items("summary.next.first_year", soon, translator, MOST_NAMED_IN_BRIEF) or translator.say(
        "summary.next.later"
    )


def _lowest(condition: Condition, sets: tuple[WheelSet, ...], translator: Translator) -> tuple[LowestFigure, ...]:
    """Return lowest tread and thinnest lining, each with the ruler of the wheel where it was measured."""
    figures = {"tires": lowest_tread(condition, translator), "brakes": thinnest_lining(condition, translator)}
    rulers = {found.anchor: found.lowest_ruler for found in sets}
    return tuple(
        LowestFigure(anchor if anchor in rulers else "measured", figure, rulers.get(anchor))
        for anchor, figure in figures.items()
    )


def _papers(record: VehicleRecord, translator: Translator) -> Text:
    """Return the sentences about title brand, open recalls and terms of sale."""
    return join_texts((_title(record, translator), *_recalls(record, translator), _terms(record, translator)))


def _title(record: VehicleRecord, translator: Translator) -> Text:
    if record.title is None:
        return translator.tell("first.title_not_noted")
    if isinstance(record.title.brand, NoBrand):
        return translator.tell("first.title_no_brand")
    return translator.tell("first.title_brand", brand=record.title.brand)


def _recalls(record: VehicleRecord, translator: Translator) -> tuple[Text, ...]:
    """Return the sentence that nobody looked recalls up, or an empty tuple if somebody did.

    Open recalls are among the standing facts. The first screen does not say that there are none.
    """
    if record.recalls is None or not record.recalls.states("open"):
        return (translator.tell("first.recalls_not_noted"),)
    return ()


def _terms(record: VehicleRecord, translator: Translator) -> Text:
    return Text(f"{terms_words(record, translator)}.", None)
