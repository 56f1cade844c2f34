"""Search the spoken words of a film, as its captions hold them, for words that sound dangerous."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, Path, StandingFact
from sitegen.condition.basis.values import Said
from sitegen.condition.danger.matching import NO_CONTEXT, groups_named
from sitegen.condition.standing.seen import noted
from sitegen.condition.standing.texts import FreeText, free_texts
from sitegen.condition.standing.words import unanswered_in
from sitegen.records.disclosure import Station
from sitegen.records.figures import Figures
from sitegen.records.film import ClipFiles, FilmClip
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Spoken:
    """The words spoken in one clip, as one text in each language."""

    clip: FilmClip
    text: FreeText


def spoken_in(record: VehicleRecord, files: Sequence[ClipFiles]) -> Iterator[Spoken]:
    """Yield the spoken words of each clip of a record's film. `files` are in the order of the record's clips."""
    clips = record.film.clips if record.film is not None else ()
    for place, (clip, file) in enumerate(zip(clips, files, strict=False)):
        versions = {language: " ".join(cue.text for cue in cues) for language, cues in file.captions.items()}
        if versions:
            yield Spoken(clip, FreeText(("film", "clips", place, "captions"), versions))


def spoken_facts(
    record: VehicleRecord, files: Sequence[ClipFiles], facts: Sequence[StandingFact], figures: Figures
) -> Iterator[StandingFact]:
    """Yield a question for each clip in which somebody says something dangerous that the record does not say.

    Words are not asked about if the record says something about the same parts: in the defect that the clip shows, or
    in a fact of its station that can hurt somebody or has a reason why it cannot.
    """
    for spoken in spoken_in(record, files):
        known = _parts_named(_told_of(spoken.clip, record, facts), figures)
        for found in unanswered_in(spoken.text, NO_CONTEXT, record, figures):
            named = _parts_named([found.words], figures)
            if named and named <= known:
                continue
            station = spoken.clip.station
            yield StandingFact(
                kind=FactKind.WORDS,
                harm=Harm.CAN_HURT,
                rule=Rule.QUESTION,
                path=(*found.path, found.language),
                short=Said("standing.words", {"words": found.words}),
                said=Said("gate.spoken_question", {"words": found.words}),
                place=FactPlace(station if isinstance(station, Station) else None),
                known=HowKnown.WRITTEN,
                **noted(record),
            )
            break


def _told_of(clip: FilmClip, record: VehicleRecord, facts: Sequence[StandingFact]) -> Iterator[str]:
    """Yield the record's texts about what a clip shows: of its defect, or of dangers at its station."""
    if clip.defect is not None:
        numbers = (number for number, each in enumerate(record.defects) if each.id == clip.defect)
        paths: set[Path] = {("defects", number) for number in numbers}
    else:
        at_station = (fact for fact in facts if fact.place.station == clip.station)
        paths = {fact.path[:2] for fact in at_station if fact.harm is Harm.CAN_HURT or fact.because is not None}
    for text in free_texts(record):
        if text.path[:2] in paths:
            yield from text.versions.values()


def _parts_named(texts: Iterable[str], figures: Figures) -> frozenset[str]:
    """Return the groups of parts that texts name, in any language."""
    lexicons = figures.lexicons.root.values()
    return frozenset(group for text in texts for lexicon in lexicons for group in groups_named(text, lexicon))
