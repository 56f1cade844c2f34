"""The summary of a vehicle: key figures, and sentences about defects, lowest figures and coming upkeep."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.findings import BrakeFinding, Condition, TireFinding, UseFinding
from sitegen.condition.basis.forecast import Band
from sitegen.condition.basis.values import Renewal
from sitegen.condition.standing.surfaces import Surface
from sitegen.pages.language.translator import Text, Translator, within_a_sentence
from sitegen.pages.vehicle.defects.standing import count_by_effect, standing_lines
from sitegen.pages.vehicle.identity import distance_words
from sitegen.records.disclosure import Affects
from sitegen.records.quantities import Depth
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord

MOST_NAMED = 3
"""The largest number of items that a list in the summary names; further ones are counted."""
MOST_NAMED_IN_BRIEF = 2
"""The same for lists on the first screen."""


@dataclass(frozen=True)
class KeyFigure:
    """A key figure: its name, its value, and a note such as the wheel."""

    name: str
    value: str
    note: str | None


def key_figures(record: VehicleRecord, condition: Condition, translator: Translator) -> tuple[KeyFigure, ...]:
    """Return the key figures: lowest tread, thinnest lining, odometer reading, and number of defects."""
    return (
        lowest_tread(condition, translator),
        thinnest_lining(condition, translator),
        KeyFigure(
            translator.say("key.odometer"), distance_words(record, translator), distance_a_year(condition, translator)
        ),
        _defects_figure(record, condition, translator),
    )


def lowest_tread(condition: Condition, translator: Translator) -> KeyFigure:
    """Return the lowest tread of the wheels on the ground as a key figure."""
    tires = [tire for tire in condition.of(TireFinding) if tire.wheel is not Wheel.SPARE]
    measured = [LowestAtWheel(tire.lowest, tire.wheel, tire.renewed) for tire in tires if tire.lowest]
    return _lowest("key.lowest_tread", measured, translator.formats.tread, translator)


def thinnest_lining(condition: Condition, translator: Translator) -> KeyFigure:
    """Return the thinnest brake lining as a key figure."""
    brakes = condition.of(BrakeFinding)
    measured = [LowestAtWheel(brake.thinnest, brake.wheel, brake.renewed) for brake in brakes if brake.thinnest]
    return _lowest("key.thinnest_lining", measured, translator.formats.lining, translator)


@dataclass(frozen=True)
class LowestAtWheel:
    """The lowest depth at one wheel, and the renewal of the part if it was or will be renewed."""

    depth: Depth
    wheel: Wheel
    renewed: Renewal | None


def _lowest(
    key: str, measured: Sequence[LowestAtWheel], written: Callable[[Depth], str], translator: Translator
) -> KeyFigure:
    """Return the lowest depth as a key figure. Its note names the wheel and counts unmeasured wheels."""
    if not measured:
        return KeyFigure(translator.say(key), translator.say("measured.not_measured"), None)
    lowest = min(measured, key=lambda at_wheel: at_wheel.depth)
    note = translator.say(f"wheel.{lowest.wheel}")
    if lowest.renewed:
        note = translator.say("key.will_be_renewed" if lowest.renewed.promised else "key.renewed", wheel=note)
    if len(measured) < 4:
        note = translator.count("key.some_missing", 4 - len(measured), wheel=note)
    return KeyFigure(translator.say(key), written(lowest.depth), note)


def distance_a_year(condition: Condition, translator: Translator) -> str | None:
    """Return the average distance driven in a year, or None if the odometer is not reliable."""
    use = next(iter(condition.of(UseFinding)), None)
    return translator.say("key.a_year", distance=use.a_year) if use and use.a_year else None


def _defects_figure(record: VehicleRecord, condition: Condition, translator: Translator) -> KeyFigure:
    """Return the number of defects as a key figure. Its note names the most serious standing fact."""
    counts = count_by_effect(condition)
    worst = next((effect for effect in reversed(Affects) if counts[effect]), None)
    is_known = record.defects or record.states("defects")
    value = str(len(record.defects)) if is_known else translator.say("key.defects_not_noted")
    return KeyFigure(translator.say("key.defects"), value, translator.say(f"key.worst.{worst}") if worst else None)


def summary(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> tuple[Text, ...]:
    """Return the summary's sentences: the worst findings, the lowest measured figures, and coming upkeep.

    If nobody looked at the vehicle, the first sentence says so.
    """
    return (
        *(line.words for line in standing_lines(record, condition, vocabulary, Surface.SUMMARY, translator)),
        _lowest_measured(condition, translator),
        _what_comes_next(condition, translator),
    )


def _lowest_measured(condition: Condition, translator: Translator) -> Text:
    tread, lining = lowest_tread(condition, translator), thinnest_lining(condition, translator)
    return translator.tell("summary.lowest", tread=_with_note(tread), lining=_with_note(lining))


def _with_note(figure: KeyFigure) -> str:
    return f"{figure.value} ({figure.note.lower()})" if figure.note else figure.value


def _what_comes_next(condition: Condition, translator: Translator) -> Text:
    """Return the sentences about services that are due now, have no record, or come in the first year.

    Parts without a basis are not called fine.
    """
    items = condition.outlook.items
    due = condition.outlook.due_now()
    soon = [item.key for item in items if item.band_from in (Band.DUE_NOW, Band.FIRST_YEAR) and item.key not in due]
    sentences = [
        named_items("summary.next.due_now", due, translator),
        named_items("summary.next.no_record", condition.outlook.without_record(), translator),
        named_items("summary.next.first_year", soon, translator),
    ]
    return Text(" ".join(words for words in sentences if words) or translator.say("summary.next.later"), None)


def named_items(key: str, items: list[str], translator: Translator, most: int = MOST_NAMED) -> str | None:
    """Return a sentence with the first few items and the number of the others. None if there are no items."""
    if not items:
        return None
    named = translator.listed(within_a_sentence(translator.say(f"item.{item}")) for item in items[:most])
    if len(items) <= most:
        return translator.say(key, items=named)
    named = translator.listed_plainly(within_a_sentence(translator.say(f"item.{item}")) for item in items[:most])
    return translator.count(f"{key}_and_more", len(items) - most, items=named)
