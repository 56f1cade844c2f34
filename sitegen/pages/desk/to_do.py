"""List the to-do items of a vehicle, those that can cost a sale first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pydantic import BaseModel

from sitegen.condition.basis.findings import Condition
from sitegen.condition.standing.surfaces import Surface, shown_on
from sitegen.pages.desk.filmed_walk import not_in_film
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.defects.standing import fact_words
from sitegen.pages.vehicle.disclosure import unchecked_points
from sitegen.records.base import LocalizedText, nearest_language
from sitegen.records.disclosure import Arrow, Box, Circle, Defect, DefectPhoto
from sitegen.records.film import Film
from sitegen.records.problems import Problem
from sitegen.records.reference import Vocabulary
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import ON_THE_GROUND, Status
from sitegen.records.vehicle_record import VehicleRecord

CLOSE_UP = 0.15
"""A photo whose ring or box has at least this share of its width counts as a close-up: this project's rule."""


class ToDoKind(StrEnum):
    """The kinds of to-do items. Their order is this project's judgment of what costs a sale, the most costly first.

    Errors in files and reasons that hold the page back come first: without a page nobody buys. Promised work follows,
    because it delays a buyer who has decided. Then come faults that nobody has put right, items that make the rest
    doubtful (an old inspection, recalls not looked up lately), items that a distant buyer misses (not measured, not
    checked, no close-up, not in the film), and last missing translations.
    """

    FAULT = "fault"
    HELD = "held"
    PROMISE = "promise"
    STANDS = "stands"
    STALE_INSPECTION = "stale_inspection"
    STALE_RECALLS = "stale_recalls"
    NOT_MEASURED = "not_measured"
    NOT_CHECKED = "not_checked"
    NO_CLOSE_UP = "no_close_up"
    NOT_IN_FILM = "not_in_film"
    NO_WORDS = "no_words"


@dataclass(frozen=True)
class ToDo:
    """One to-do item."""

    kind: ToDoKind
    words: Text


@dataclass(frozen=True)
class Circumstances:
    """The inputs of the to-do list besides the record."""

    settings: SiteSettings
    vocabulary: Vocabulary
    today: date
    translator: Translator


def faults_to_mend(problems: Iterable[Problem]) -> tuple[ToDo, ...]:
    """Return a to-do item for every problem, worded as the commands print it."""
    return tuple(ToDo(ToDoKind.FAULT, Text(problem.as_line(), "en")) for problem in problems)


def to_do(record: VehicleRecord, condition: Condition, film: Film | None, around: Circumstances) -> tuple[ToDo, ...]:
    """Return the to-do items of a vehicle.

    For one that is not on offer, only reasons that hold its page back, and promises.
    """
    items = [*_held(condition, around), *_promised(record, around)]
    if record.status in (Status.FOR_SALE, Status.ON_HOLD):
        items += _stands(condition, around)
        items += _stale(record, around)
        items += _not_measured(record, around)
        items += _counted(
            ToDoKind.NOT_CHECKED,
            unchecked_points(record, around.vocabulary, around.translator, important=True),
            around,
        )
        far = (defect for defect in record.defects if not any(map(_is_close, defect.photos)))
        items += _counted(ToDoKind.NO_CLOSE_UP, _named(far, around), around)
        unfilmed = set(not_in_film(record.defects, film))
        missing = (defect for defect in record.defects if defect.id in unfilmed)
        items += _counted(ToDoKind.NOT_IN_FILM, _named(missing, around), around)
        items += _without_words(record, around)
    return tuple(sorted(items, key=lambda item: list(ToDoKind).index(item.kind)))


def _held(condition: Condition, around: Circumstances) -> Iterator[ToDo]:
    for sentence in around.translator.tell_sentences([hold.said for hold in condition.gate.holding]):
        yield ToDo(ToDoKind.HELD, sentence)


def _stands(condition: Condition, around: Circumstances) -> Iterator[ToDo]:
    """Yield an item for each fact that the to-do list shows (see `Surface`) and that does not hold the page back."""
    for fact in shown_on(Surface.TO_DO, condition.standing):
        if not fact.holds:
            yield ToDo(ToDoKind.STANDS, fact_words(fact, around.translator))


def _promised(record: VehicleRecord, around: Circumstances) -> Iterator[ToDo]:
    for promise in record.before_delivery:
        yield ToDo(ToDoKind.PROMISE, around.translator.text(promise.what))


def _stale(record: VehicleRecord, around: Circumstances) -> Iterator[ToDo]:
    translator, most = around.translator, around.settings.stale_after_days
    age = (around.today - record.inspection.done_on).days
    if age > most:
        yield ToDo(
            ToDoKind.STALE_INSPECTION, translator.tell_count("desk.do.stale", age, day=record.inspection.done_on)
        )
    if record.recalls is None:
        yield ToDo(ToDoKind.STALE_RECALLS, translator.tell("papers.recalls_not_looked"))
    elif (age := (around.today - record.recalls.checked_on).days) > most:
        yield ToDo(ToDoKind.STALE_RECALLS, translator.tell_count("desk.do.stale", age, day=record.recalls.checked_on))


def _not_measured(record: VehicleRecord, around: Circumstances) -> Iterator[ToDo]:
    """Yield items for wheels whose tread or linings were not measured, and for an untested battery."""
    translator = around.translator
    tires = {wheel: record.tires.at(wheel) for wheel in record.tires.on_the_ground}
    brakes = {wheel: record.brakes.at(wheel) for wheel in ON_THE_GROUND}
    lacking = {
        "tires": [wheel for wheel, tire in tires.items() if tire is None or tire.tread is None],
        "brakes": [wheel for wheel, brake in brakes.items() if brake is None or not brake.linings()],
    }
    for name, wheels in lacking.items():
        if wheels:
            at = translator.listed(translator.say(f"wheel.{wheel}") for wheel in wheels)
            yield ToDo(
                ToDoKind.NOT_MEASURED,
                translator.tell("desk.fact", name=translator.say(f"{name}.heading"), figure=at),
            )
    battery = record.battery
    if battery is None or (battery.tested is None and battery.rest_voltage is None):
        yield ToDo(ToDoKind.NOT_MEASURED, translator.tell("panel.battery"))


def _is_close(photo: DefectPhoto) -> bool:
    if photo.card is not None or photo.mark is None or isinstance(photo.mark, Arrow):
        return True
    if isinstance(photo.mark, Circle):
        return 2 * photo.mark.r >= CLOSE_UP
    return isinstance(photo.mark, Box) and max(photo.mark.w, photo.mark.h) >= CLOSE_UP


def _named(defects: Iterable[Defect], around: Circumstances) -> tuple[str, ...]:
    translator = around.translator
    return tuple(
        f"{translator.choice('kind', defect.kind).lower()} ({translator.text(defect.where.part)})"
        for defect in defects
    )


def _counted(kind: ToDoKind, names: tuple[str, ...], around: Circumstances) -> Iterator[ToDo]:
    """Yield one item that names the first few and counts the others. Yield none if there are no names."""
    if names:
        yield ToDo(kind, Text(around.translator.some_of(names, most=4), None))


def _without_words(record: VehicleRecord, around: Circumstances) -> Iterator[ToDo]:
    """Yield an item that counts the record's texts without a translation and names the first few places."""
    settings, translator = around.settings, around.translator
    language, first = translator.language, settings.first_language
    lacking = [place for place, text in _texts(record) if _lacks(text, language, first)]
    if lacking:
        yield ToDo(
            ToDoKind.NO_WORDS,
            translator.tell_count("desk.do.no_words_in", len(lacking), places=translator.some_of(lacking, most=3)),
        )


def _lacks(text: LocalizedText, language: str, first: str) -> bool:
    tags = [tag or first for tag in text.versions]
    return nearest_language(language, (first, *tags), tags) != language


def _texts(part: object, place: str = "") -> Iterator[tuple[str, LocalizedText]]:
    """Yield the place and value of every translatable text of a record. List numbers count from 1."""
    if isinstance(part, LocalizedText):
        yield place, part
    elif isinstance(part, BaseModel):
        for name in type(part).model_fields:
            yield from _texts(getattr(part, name), f"{place}.{name}" if place else name)
    elif isinstance(part, Mapping):
        for name, value in part.items():
            yield from _texts(value, f"{place}.{name}")
    elif isinstance(part, tuple):
        for number, value in enumerate(part, start=1):
            yield from _texts(value, f"{place}[{number}]")
