"""Search the spoken words of a film, as its captions hold them, for words that sound dangerous."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, StandingFact
from sitegen.condition.basis.values import Said
from sitegen.condition.danger.matching import NO_CONTEXT
from sitegen.condition.standing.seen import noted
from sitegen.condition.standing.texts import FreeText
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

    A clip that shows a defect is not searched, since the defect says it. Nor is one of a station where `facts` names
    something that can hurt somebody, or gives a reason why it cannot.
    """
    known = {fact.place.station for fact in facts if fact.harm is Harm.CAN_HURT or fact.because is not None}
    for spoken in spoken_in(record, files):
        if spoken.clip.defect is not None or spoken.clip.station in known:
            continue
        found = next(unanswered_in(spoken.text, NO_CONTEXT, record, figures), None)
        if found is not None:
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
