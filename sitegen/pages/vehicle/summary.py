"""The summary of a vehicle: key figures, and sentences about defects, lowest figures and coming upkeep."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.checks import points_with_attention, was_looked_at
from sitegen.condition.basis.findings import BrakeFinding, Condition, TireFinding, UseFinding
from sitegen.condition.basis.forecast import Band
from sitegen.condition.basis.values import Renewal
from sitegen.pages.language.translator import Text, Translator, join_texts, within_a_sentence
from sitegen.pages.vehicle.defects.defects import standing_defects
from sitegen.pages.vehicle.disclosure import points_named
from sitegen.pages.vehicle.identity import distance_words
from sitegen.records.disclosure import Affects, Defect
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


def key_figures(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> tuple[KeyFigure, ...]:
    """Return the key figures: lowest tread, thinnest lining, odometer reading, and number of defects."""
    return (
        lowest_tread(condition, translator),
        thinnest_lining(condition, translator),
        KeyFigure(
            translator.say("key.odometer"), distance_words(record, translator), distance_a_year(condition, translator)
        ),
        _defects_figure(record, vocabulary, translator),
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


def _defects_figure(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> KeyFigure:
    """Return the number of defects as a key figure. Its note names the worst effect and counts attention points."""
    attention = len(points_with_attention(record, vocabulary))
    notes = [
        _worst_effect(record, translator),
        translator.count("key.attention", attention) if attention else None,
    ]
    is_known = record.defects or record.states("defects")
    value = str(len(record.defects)) if is_known else translator.say("key.defects_not_noted")
    return KeyFigure(translator.say("key.defects"), value, "; ".join(note for note in notes if note) or None)


def _worst_effect(record: VehicleRecord, translator: Translator) -> str | None:
    effects = {defect.affects for defect in standing_defects(record)}
    worst = next((effect for effect in reversed(Affects) if effect in effects), None)
    return translator.say(f"key.worst.{worst}") if worst else None


def summary(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> tuple[Text, ...]:
    """Return the summary's sentences: the worst findings, the lowest measured figures, and coming upkeep.

    If nobody looked at the vehicle, the first sentence says so.
    """
    return (
        *worst_found(record, vocabulary, translator),
        _lowest_measured(condition, translator),
        _what_comes_next(condition, translator),
    )


def worst_found(
    record: VehicleRecord, vocabulary: Vocabulary, translator: Translator, *, in_brief: bool = False
) -> Iterator[Text]:
    """Yield sentences about defects and failed checks: safety or function first, then attention, then looks.

    Each defect is named with the part that it is on; in brief by its kind alone, and with fewer points named.
    """
    if not was_looked_at(record, vocabulary):
        yield translator.tell("summary.not_looked_at")
    standing, attention = standing_defects(record), points_with_attention(record, vocabulary)
    worst = [
        (affects, [defect for defect in standing if defect.affects is affects])
        for affects in (Affects.SAFETY, Affects.FUNCTION)
    ]
    worst = [(affects, defects) for affects, defects in worst if defects][:1]
    for affects, defects in worst:
        yield translator.tell_count(
            f"summary.worst.{affects}", len(defects), defects=_some_named(defects, translator, in_brief)
        )
    if attention:
        key, most = ("first.attention", MOST_NAMED_IN_BRIEF) if in_brief else ("summary.attention", MOST_NAMED)
        yield translator.tell_count(key, len(attention), points=points_named(attention, translator, most))
    if not worst and standing:
        yield translator.tell_count("summary.worst.looks", len(standing))
    if not standing and not attention:
        yield from _nothing_standing(record, vocabulary, translator)


def _nothing_standing(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> Iterator[Text]:
    """Say why nothing stands: all of it was put right, there was nothing, or nobody noted whether there was."""
    if record.defects:
        yield translator.tell("summary.worst.put_right")
    elif not record.states("defects"):
        yield translator.tell("summary.worst.not_noted")
    elif was_looked_at(record, vocabulary):
        yield translator.tell("summary.worst.none")


def _some_named(defects: Sequence[Defect], translator: Translator, in_brief: bool) -> Text:
    """Name the first three, and count the others."""
    name = _kind if in_brief else defect_named
    named = [name(defect, translator) for defect in defects[:MOST_NAMED]]
    if len(defects) <= MOST_NAMED:
        return translator.tell_list(named)
    more = len(defects) - MOST_NAMED
    return translator.tell_count(
        "summary.and_more", more, items=join_texts(named, translator.catalog.say("list.comma"))
    )


def defect_named(defect: Defect, translator: Translator) -> Text:
    """Name a defect in a list: its kind and its part."""
    return translator.tell(
        "summary.defect", kind=translator.choice("kind", defect.kind).lower(), part=defect.where.part
    )


def _kind(defect: Defect, translator: Translator) -> Text:
    return Text(translator.choice("kind", defect.kind).lower(), None)


def _lowest_measured(condition: Condition, translator: Translator) -> Text:
    tread, lining = lowest_tread(condition, translator), thinnest_lining(condition, translator)
    return translator.tell("summary.lowest", tread=_with_note(tread), lining=_with_note(lining))


def _with_note(figure: KeyFigure) -> str:
    return f"{figure.value} ({figure.note.lower()})" if figure.note else figure.value


def _what_comes_next(condition: Condition, translator: Translator) -> Text:
    """List services that are due now, then those of the first year. Parts without a basis are not called fine."""
    items = condition.outlook.items
    due = condition.outlook.due_now()
    soon = [item.key for item in items if item.band_from in (Band.DUE_NOW, Band.FIRST_YEAR) and item.key not in due]
    told = [
        named_items("summary.next.due_now", due, translator),
        named_items("summary.next.no_record", condition.outlook.without_record(), translator),
        named_items("summary.next.first_year", soon, translator),
    ]
    return Text(" ".join(words for words in told if words) or translator.say("summary.next.later"), None)


def named_items(key: str, items: list[str], translator: Translator, most: int = MOST_NAMED) -> str | None:
    """Name the first few items, and count the others."""
    if not items:
        return None
    named = translator.listed(within_a_sentence(translator.say(f"item.{item}")) for item in items[:most])
    if len(items) <= most:
        return translator.say(key, items=named)
    named = translator.listed_plainly(within_a_sentence(translator.say(f"item.{item}")) for item in items[:most])
    return translator.count(f"{key}_and_more", len(items) - most, items=named)
