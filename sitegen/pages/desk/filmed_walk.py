"""The plan of a filmed walk-around: for each station what to show, what to say, where to point, and how long."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from sitegen.condition.basis.checks import applicable_points
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.condition_page import ConditionPage
from sitegen.pages.vehicle.defects.defects import DefectView
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet
from sitegen.records.disclosure import Defect, Station
from sitegen.records.film import Film
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord

WORDS_A_MINUTE = 140
"""Speaking rate of an unhurried explanation: common practice, from memory; no source."""
TO_WALK_ON, TO_SHOW, TO_POINT = 5, 1, 4
"""Seconds to walk to a station, to show one check point, and to point at one defect: this project's estimate."""


@dataclass(frozen=True)
class StationToFilm:
    """One station of the film."""

    name: str
    show: str | None
    """The check points to show here, as a list; None if there are none."""
    figures: tuple[str, ...]
    """The sentences to say, as the page writes them."""
    defects: tuple[DefectView, ...]
    seconds: int
    """The estimated duration in seconds."""


@dataclass(frozen=True)
class FilmedWalk:
    """The stations of the film, its estimated length, and the defects that an existing film does not show."""

    stations: tuple[StationToFilm, ...]
    length: str
    film: str
    """A sentence: whether there is a film, and whether its clips show every defect."""
    not_shown: tuple[DefectView, ...]


def filmed_walk(
    record: VehicleRecord,
    page: ConditionPage,
    vocabulary: Vocabulary,
    translator: Translator,
) -> FilmedWalk:
    """Return the plan of the film. A station with nothing to show, say or point at is left out."""
    stations = tuple(_stations(record, page, vocabulary, translator))
    total = sum(station.seconds for station in stations)
    lacking = set(not_in_film(record.defects, record.film))
    views = [defect for station in page.defects for defect in station.defects]
    return FilmedWalk(
        stations=stations,
        length=translator.say("desk.film_length", length=translator.listed(translator.formats.duration(total))),
        film=translator.say(f"desk.film.{_state(record.film, lacking)}"),
        not_shown=tuple(defect for defect in views if defect.anchor in lacking),
    )


def not_in_film(defects: Iterable[Defect], film: Film | None) -> tuple[str, ...]:
    """Return the ids of the defects that no clip of the film shows. Without a film, return none."""
    if film is None:
        return ()
    named = {clip.defect for clip in film.clips}
    return tuple(defect.id for defect in defects if defect.id not in named)


def _state(film: Film | None, lacking: set[str]) -> str:
    if film is None:
        return "none"
    return "lacks" if lacking else "whole"


def _stations(
    record: VehicleRecord, page: ConditionPage, vocabulary: Vocabulary, translator: Translator
) -> Iterator[StationToFilm]:
    points: dict[Station, list[str]] = {}
    for key, point in applicable_points(record, vocabulary).items():
        points.setdefault(point.station, []).append(translator.choice("point", key))
    defects = {station.station: station.defects for station in page.defects}
    figures = _figures(page, translator)
    for station in Station:
        name = translator.choice("station", station)
        here, to_point, to_say = points.get(station, []), defects.get(name, ()), figures.get(station, ())
        if here or to_point or to_say:
            show = translator.listed(here) if here else None
            seconds = _seconds([*to_say, *map(_words, to_point)], len(here), len(to_point))
            yield StationToFilm(name, show, to_say, to_point, seconds)


def _words(defect: DefectView) -> str:
    return f"{defect.kind} {defect.part} {defect.words}"


def _seconds(sentences: Iterable[str], points: int, defects: int) -> int:
    words = sum(len(text.split()) for text in sentences)
    return TO_WALK_ON + TO_SHOW * points + TO_POINT * defects + -(-words * 60 // WORDS_A_MINUTE)


def _figures(page: ConditionPage, translator: Translator) -> Mapping[Station, tuple[str, ...]]:
    """Return the figures to say at each station: at the wheels, at the dash, under the hood."""

    def at_each_wheel(wheel_set: WheelSet) -> str:
        figures = (
            translator.say("desk.film_figure", wheel=wheel.position, figure=wheel.figure)
            for wheel in wheel_set.wheels
        )
        return translator.say("desk.fact", name=wheel_set.heading, figure=translator.listed_plainly(figures))

    batteries = [
        f"{panel.heading}: {fact.name}: {fact.value}"
        for panel in page.measured.panels
        if panel.anchor == "battery"
        for fact in panel.facts[:1]
    ]
    return {
        Station.WHEELS: tuple(map(at_each_wheel, page.measured.sets)),
        Station.CABIN: (
            translator.say("desk.fact", name=translator.say("key.odometer"), figure=page.identity.distance),
        ),
        Station.ENGINE_BAY: tuple(batteries),
    }
