"""The view of the film: the player, its chapters with a description of what each shows, and what its script needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.language.formats import own_name
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.defects.defects import DefectView, StationDefects
from sitegen.pages.vehicle.disclosure import StationChecks
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.film import COLD_START, CodedFile, ShownClip, ShownFilm
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord

STILL_WIDTH = 240
"""Pixels of a chapter's picture."""


@dataclass(frozen=True)
class TrackView:
    """A `track` element of the film. `tag` is the track's language."""

    src: str
    tag: str
    label: str
    is_default: bool


@dataclass(frozen=True)
class ChapterView:
    """A chapter of the film, which is also a file of its own: a station, or a defect."""

    number: int
    """From 0, in the order of the film."""
    href: str
    time: str
    """When it begins in the film."""
    takes: str
    """Its length and size: 0:06, 0.4 MB."""
    still: str
    still_height: int
    title: str
    defect: str | None
    """The defect's anchor."""
    defect_words: str | None
    words: tuple[Text, ...]
    """A description of what it shows, in the page's own sentences."""
    speech: str | None
    """Whether it is without speech, or still without captions."""


@dataclass(frozen=True)
class FilmView:
    """Everything that the template shows of the film: the player, its tracks and its chapters."""

    src: str
    width: int
    height: int
    poster: str
    introduction: str
    tracks: tuple[TrackView, ...]
    chapters: tuple[ChapterView, ...]
    data: Markup
    """The files, times and captions of the chapters, for the script."""

    def chapter_of(self, defect: str) -> ChapterView | None:
        """Return the chapter that shows a defect, by the defect's anchor. None if no chapter does."""
        return next((chapter for chapter in self.chapters if chapter.defect == defect), None)


def film_view(
    record: VehicleRecord,
    film: ShownFilm | None,
    pictures: Pictures,
    stations: Iterable[StationDefects],
    checks: Iterable[StationChecks],
    at: Address,
    translator: Translator,
) -> FilmView | None:
    """Return the view of a vehicle's film, or None if it has none. `stations` and `checks` describe what it shows."""
    if film is None:
        return None
    stations = tuple(stations)
    defects = {defect.anchor: defect for station in stations for defect in station.defects}
    seen = {station.station: _seen_at(station, translator) for station in checks}
    for here in stations:
        named = [Text(f"{each.kind}, {each.part.text}.", each.part.language) for each in here.defects]
        seen[here.station] = (*seen.get(here.station, ()), *named)
    spoken = _spoken(film.captions, translator)
    seconds = max(round(film.length / 1000), 1)
    return FilmView(
        src=at.to(_film_file(film.file)),
        width=film.width,
        height=film.height,
        poster=_poster(record, film, pictures, at),
        introduction=translator.say(
            "film.introduction",
            length=translator.listed(translator.formats.duration(seconds)),
            size=_megabytes(film.file, translator),
        ),
        tracks=tuple(
            TrackView(at.to(_cue_file(file)), language, own_name(language), language == spoken)
            for language, file in film.captions.items()
        ),
        chapters=tuple(
            _chapter(number, clip, film, defects, seen, at, translator) for number, clip in enumerate(film.clips)
        ),
        data=script_json(_data(film, at, spoken)),
    )


def film_digests(film: ShownFilm) -> Iterator[tuple[str, str]]:
    """Yield the site path and the SHA-256, in hexadecimal, of each file of a film. A name is a hash of the bytes."""
    for each in film.clips:
        yield _film_file(each.file), each.file.digest
        yield _film_file(each.small), each.small.digest
        yield _still_file(each.still), each.still.digest
    yield _film_file(film.file), film.file.digest
    yield _film_file(film.small), film.small.digest
    yield _still_file(film.poster), film.poster.digest
    for file in film.captions.values():
        yield _cue_file(file), file.digest


def film_json_ld(
    record: VehicleRecord,
    film: ShownFilm | None,
    at: Address,
    settings: SiteSettings,
    translator: Translator,
    name: str,
) -> dict[str, Any] | None:
    """Return the film as a schema.org `VideoObject`, with a `Clip` for each chapter. `name` is the vehicle's."""
    if film is None:
        return None
    place = at.canonical(settings.base_address)
    titles = {defect.id: defect for defect in record.defects}

    def title(clip: ShownClip) -> str:
        defect = titles.get(clip.clip.defect or "")
        return _title(clip, translator) if defect is None else translator.text(defect.where.part).text

    def full(path: str) -> str:
        return Address(path).canonical(settings.base_address)

    return {
        "@type": "VideoObject",
        "name": translator.say("film.name", vehicle=name),
        "description": translator.say(
            "film.description", vehicle=name, shown=translator.listed(map(title, film.clips))
        ),
        "thumbnailUrl": full(_still_file(film.poster)),
        "contentUrl": full(_film_file(film.file)),
        "uploadDate": record.inspection.done_on.isoformat(),
        "duration": f"PT{max(round(film.length / 1000), 1)}S",
        "hasPart": [
            {
                "@type": "Clip",
                "name": title(clip),
                "startOffset": round(clip.start / 1000),
                "endOffset": round(clip.end / 1000),
                "url": f"{place}#film-{number}",
            }
            for number, clip in enumerate(film.clips)
        ],
    }


def _film_file(file: CodedFile) -> str:
    return f"videos/{file.digest[:20]}.mp4"


def _still_file(file: CodedFile) -> str:
    return f"videos/{file.digest[:20]}.jpg"


def _cue_file(file: CodedFile) -> str:
    return f"videos/{file.digest[:20]}.vtt"


def _spoken(by_language: Mapping[str, object], translator: Translator) -> str | None:
    """Return the language of the captions that are on: the page's if available, else the store's first, else any.

    None if there are no captions.
    """
    for wanted in (translator.language, translator.first_language):
        if wanted in by_language:
            return wanted
    return next(iter(by_language), None)


def _poster(record: VehicleRecord, film: ShownFilm, pictures: Pictures, at: Address) -> str:
    """Return the link to the poster: the photo that the record names, or else a still of the film.

    It is a JPEG, since a film can name only one poster and every browser must show it.
    """
    if record.film is not None and record.film.poster is not None:
        return at.to(f"pictures/{pictures.of(record.stock, record.film.poster).fallback.name}")
    return at.to(_still_file(film.poster))


def _chapter(
    number: int,
    shown: ShownClip,
    film: ShownFilm,
    defects: Mapping[str, DefectView],
    seen: Mapping[str, tuple[Text, ...]],
    at: Address,
    translator: Translator,
) -> ChapterView:
    defect = defects.get(shown.clip.defect or "")
    title = f"{defect.kind}, {defect.part.text}" if defect is not None else _title(shown, translator)
    speech = None
    if shown.lacks_captions:
        speech = translator.say("film.no_captions_yet")
    elif not shown.captions:
        speech = translator.say("film.without_speech")
    return ChapterView(
        number=number,
        href=at.to(_film_file(shown.file)),
        time=clock(shown.start),
        takes=translator.say(
            "film.takes", length=clock(shown.end - shown.start), size=_megabytes(shown.file, translator)
        ),
        still=at.to(_still_file(shown.still)),
        still_height=max(round(STILL_WIDTH * film.height / film.width), 1),
        title=title,
        defect=defect.anchor if defect is not None else None,
        defect_words=translator.say("film.defect", number=str(defect.number)) if defect is not None else None,
        words=(defect.words,) if defect is not None else seen.get(title, ()),
        speech=speech,
    )


def _seen_at(station: StationChecks, translator: Translator) -> tuple[Text, ...]:
    """Return sentences about the check points at a station: those that need attention, then all good ones in one."""
    attention = [Text(f"{check.point_first}: {check.words}.", None) for check in station.attention]
    good = [Text(f"{translator.say('checks.good')} {station.good}.", None)] if station.good else []
    return (*attention, *good)


def _title(shown: ShownClip, translator: Translator) -> str:
    """Return the title of a station's chapter, or of a defect that the page does not list any more."""
    station = shown.clip.station
    if station is None:
        return translator.say("film.former_defect")
    if station == COLD_START:
        return translator.say("film.cold_start")
    return translator.choice("station", station)


def clock(milliseconds: int) -> str:
    """Return a time as video players show it: 1:05 or 1:00:05."""
    minutes, seconds = divmod(milliseconds // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def _megabytes(file: CodedFile, translator: Translator) -> str:
    size = max(Decimal(file.size) / 1_000_000, Decimal("0.1"))
    return translator.say("film.megabytes", size=translator.formats.number(size, 1))


def _data(film: ShownFilm, at: Address, spoken: str | None) -> dict[str, Any]:
    """Return the data of the film's script: for each clip its files, times and captions.

    The script downloads nothing to get them.
    """
    return {
        "small": at.to(_film_file(film.small)),
        "spoken": spoken,
        "clips": [
            {
                "src": at.to(_film_file(clip.file)),
                "small": at.to(_film_file(clip.small)),
                "start": clip.start / 1000,
                "end": clip.end / 1000,
                "defect": clip.clip.defect,
                "captions": {
                    language: [[cue.start / 1000, cue.end / 1000, cue.text] for cue in cues]
                    for language, cues in clip.captions.items()
                },
            }
            for clip in film.clips
        ],
    }
