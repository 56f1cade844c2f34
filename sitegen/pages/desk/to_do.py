"""What is still to do for a vehicle, in the order of what costs a sale."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pydantic import BaseModel

from sitegen.condition.basis.findings import Condition, SinceFinding
from sitegen.pages.desk.filmed_walk import not_in_film
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.disclosure import unchecked_points
from sitegen.records.base import LocalizedText, nearest_language
from sitegen.records.disclosure import Arrow, Box, Circle, Defect, DefectPhoto
from sitegen.records.problems import Problem
from sitegen.records.reference import Vocabulary
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import ON_THE_GROUND, Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import Footage

CLOSE_UP = 0.15
"""A ring or box at least this share of the photo's width is of a photo that was taken close: this project's rule."""


class ToDoKind(StrEnum):
    """What can be left to do, in the order of what costs a sale, dearest first: this project's judgment.

    Without a page nobody buys: a fault and a hold come first. Then what was promised, for it stands between a buyer
    who has decided and the keys. Then what makes all else doubtful (an old look, recalls long not looked up, what was
    noted before and not looked at again), what a distant buyer cannot see from where they are (not measured, not
    checked, no photo from near, not in the film), and at last what some readers cannot read.
    """

    FAULT = "fault"
    HELD = "held"
    PROMISE = "promise"
    STALE_INSPECTION = "stale_inspection"
    STALE_RECALLS = "stale_recalls"
    NOT_AGAIN = "not_again"
    NOT_MEASURED = "not_measured"
    NOT_CHECKED = "not_checked"
    NO_CLOSE_UP = "no_close_up"
    NOT_IN_FILM = "not_in_film"
    NO_WORDS = "no_words"


@dataclass(frozen=True)
class ToDo:
    """One thing to do."""

    kind: ToDoKind
    words: Text


@dataclass(frozen=True)
class Circumstances:
    """What decides, besides the record, what is to do."""

    settings: SiteSettings
    vocabulary: Vocabulary
    today: date
    translator: Translator


def faults_to_mend(problems: Iterable[Problem]) -> tuple[ToDo, ...]:
    """Return a line for every fault, in the words of the command."""
    return tuple(ToDo(ToDoKind.FAULT, Text(problem.as_line(), "en")) for problem in problems)


def to_do(
    record: VehicleRecord, condition: Condition, footage: Footage | None, around: Circumstances
) -> tuple[ToDo, ...]:
    """Return what is to do for a vehicle that is offered, or was sold and is not yet handed over."""
    found = [*_held(condition, around), *_promised(record, around)]
    if record.status in (Status.FOR_SALE, Status.ON_HOLD):
        found += _stale(record, around)
        found += _not_again(condition, around)
        found += _not_measured(record, around)
        found += _counted(
            ToDoKind.NOT_CHECKED,
            unchecked_points(record, around.vocabulary, around.translator, important=True),
            around,
        )
        far = (defect for defect in record.defects if not any(map(_is_close, defect.photos)))
        found += _counted(ToDoKind.NO_CLOSE_UP, _named(far, around), around)
        unfilmed = set(not_in_film(record.defects, footage))
        missing = (defect for defect in record.defects if defect.id in unfilmed)
        found += _counted(ToDoKind.NOT_IN_FILM, _named(missing, around), around)
        found += _without_words(record, around)
    return tuple(sorted(found, key=lambda one: list(ToDoKind).index(one.kind)))


def _held(condition: Condition, around: Circumstances) -> Iterator[ToDo]:
    for told in around.translator.tell_sentences([hold.said for hold in condition.gate.holding]):
        yield ToDo(ToDoKind.HELD, told)


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


def _not_again(condition: Condition, around: Circumstances) -> Iterator[ToDo]:
    """Name what an earlier inspection noted or measured, and the newest did not."""
    for since in condition.of(SinceFinding):
        for told in around.translator.tell_sentences(since.not_again):
            yield ToDo(ToDoKind.NOT_AGAIN, told)


def _not_measured(record: VehicleRecord, around: Circumstances) -> Iterator[ToDo]:
    """Name the wheels whose tread or linings nobody measured, and a battery that nobody tested."""
    translator = around.translator
    tires = {wheel: record.tires.at(wheel) for wheel in ON_THE_GROUND}
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
    """Return one line that names the first few and counts the others; none where there is nothing."""
    if names:
        yield ToDo(kind, Text(around.translator.some_of(names, most=4), None))


def _without_words(record: VehicleRecord, around: Circumstances) -> Iterator[ToDo]:
    """Count the texts of the record that the language does not have, and say where the first few of them stand."""
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
    """Yield every text of a record that people read, with its place, where lists count from 1."""
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
