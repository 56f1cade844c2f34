"""A vehicle in four figures and three sentences, all computed, the worst first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sitegen.condition.findings import BrakeFinding, Condition, TireFinding, UseFinding
from sitegen.condition.forecast import Band
from sitegen.condition.values import Renewal, Wheel
from sitegen.pages.defects import standing_defects
from sitegen.pages.identity import distance_words
from sitegen.pages.voice import Told, Voice
from sitegen.records.disclosure import Affects, Defect
from sitegen.records.inspection import VehicleRecord
from sitegen.records.quantities import Depth


@dataclass(frozen=True)
class KeyFigure:
    """A figure that sums up, its name, and a word on it."""

    name: str
    value: str
    note: str | None


def key_figures(record: VehicleRecord, condition: Condition, voice: Voice) -> tuple[KeyFigure, ...]:
    """Return lowest tread, thinnest lining, distance driven and defects disclosed."""
    count = len(record.defects)
    return (
        lowest_tread(condition, voice),
        thinnest_lining(condition, voice),
        KeyFigure(voice.say("key.odometer"), distance_words(record, voice), distance_a_year(condition, voice)),
        KeyFigure(voice.say("key.defects"), str(count), _worst_effect(record, voice)),
    )


def lowest_tread(condition: Condition, voice: Voice) -> KeyFigure:
    """Return the lowest tread of the wheels on the ground."""
    tires = [tire for tire in condition.of(TireFinding) if tire.wheel is not Wheel.SPARE]
    measured = [Measured(tire.lowest, tire.wheel, tire.renewed) for tire in tires if tire.lowest]
    return _lowest("key.lowest_tread", measured, voice.formats.tread, voice)


def thinnest_lining(condition: Condition, voice: Voice) -> KeyFigure:
    """Return the thinnest brake lining."""
    brakes = condition.of(BrakeFinding)
    measured = [Measured(brake.thinnest, brake.wheel, brake.renewed) for brake in brakes if brake.thinnest]
    return _lowest("key.thinnest_lining", measured, voice.formats.lining, voice)


@dataclass(frozen=True)
class Measured:
    """The lowest figure measured at one wheel, and whether the part was renewed since or will be."""

    depth: Depth
    wheel: Wheel
    renewed: Renewal | None


def _lowest(key: str, measured: Sequence[Measured], written: Callable[[Depth], str], voice: Voice) -> KeyFigure:
    """Say the lowest of four figures, at which wheel it is, and how many wheels were not measured."""
    if not measured:
        return KeyFigure(voice.say(key), voice.say("measured.not_measured"), None)
    lowest = min(measured, key=lambda found: found.depth)
    note = voice.say(f"wheel.{lowest.wheel}")
    if lowest.renewed:
        note = voice.say("key.will_be_renewed" if lowest.renewed.promised else "key.renewed", wheel=note)
    if len(measured) < 4:
        note = voice.count("key.some_missing", 4 - len(measured), wheel=note)
    return KeyFigure(voice.say(key), written(lowest.depth), note)


def distance_a_year(condition: Condition, voice: Voice) -> str | None:
    """Say how far the vehicle was driven in a year so far, where the odometer can be relied on."""
    use = next(iter(condition.of(UseFinding)), None)
    return voice.say("key.a_year", distance=use.a_year) if use and use.a_year else None


def _worst_effect(record: VehicleRecord, voice: Voice) -> str | None:
    effects = {defect.affects for defect in standing_defects(record)}
    worst = next((effect for effect in reversed(Affects) if effect in effects), None)
    return voice.say(f"key.worst.{worst}") if worst else None


def summary(record: VehicleRecord, condition: Condition, voice: Voice) -> tuple[Told, ...]:
    """Return three sentences: the worst that was found, the lowest that was measured, what comes next."""
    return (_worst_found(record, voice), _lowest_measured(condition, voice), _what_comes_next(condition, voice))


def _worst_found(record: VehicleRecord, voice: Voice) -> Told:
    standing = standing_defects(record)
    for affects in (Affects.SAFETY, Affects.FUNCTION):
        worst = [defect for defect in standing if defect.affects is affects]
        if worst:
            named = voice.tell_list(_named(defect, voice) for defect in worst)
            return voice.tell_count(f"summary.worst.{affects}", len(worst), defects=named)
    return voice.tell_count("summary.worst.looks", len(standing)) if standing else voice.tell("summary.worst.none")


def _named(defect: Defect, voice: Voice) -> Told:
    return voice.tell("summary.defect", kind=voice.choice("kind", defect.kind).lower(), part=defect.where.part)


def _lowest_measured(condition: Condition, voice: Voice) -> Told:
    tread, lining = lowest_tread(condition, voice), thinnest_lining(condition, voice)
    return voice.tell("summary.lowest", tread=_with_note(tread), lining=_with_note(lining))


def _with_note(figure: KeyFigure) -> str:
    return f"{figure.value} ({figure.note.lower()})" if figure.note else figure.value


def _what_comes_next(condition: Condition, voice: Voice) -> Told:
    """Name what is due now, then what may come in the first year; what has no basis is not called fine."""
    items = condition.outlook.items
    due = [item.key for item in items if item.band_to is Band.DUE_NOW]
    soon = [item.key for item in items if item.band_from in (Band.DUE_NOW, Band.FIRST_YEAR) and item.key not in due]
    told = [_named_items("summary.next.due_now", due, voice), _named_items("summary.next.first_year", soon, voice)]
    return Told(" ".join(words for words in told if words) or voice.say("summary.next.later"), None)


def _named_items(key: str, items: list[str], voice: Voice) -> str | None:
    """Name up to three items, and count the others."""
    if not items:
        return None
    named = voice.listed(voice.say(f"item.{item}").lower() for item in items[:3])
    if len(items) <= 3:
        return voice.say(key, items=named)
    named = voice.listed_plainly(voice.say(f"item.{item}").lower() for item in items[:3])
    return voice.count(f"{key}_and_more", len(items) - 3, items=named)
