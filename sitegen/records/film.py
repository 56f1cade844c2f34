"""The filmed walk-around: its entry in the record, its files, and what the build has made of them.

Times are whole milliseconds, the resolution of WebVTT.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import ConfigDict, Discriminator, Field, StringConstraints, Tag, model_validator

from sitegen.records.base import Language, Record, Slug, input_error
from sitegen.records.disclosure import Fraction01, PhotoFile, Station

VideoFile = Annotated[str, StringConstraints(min_length=1, max_length=200)]
Captions = Annotated[
    Annotated[dict[Language, VideoFile], Field(min_length=1), Tag("files")] | Annotated[Literal["none"], Tag("none")],
    Discriminator(lambda written: "none" if written == "none" else "files"),
]


@dataclass(frozen=True)
class Cue:
    """One WebVTT cue. `name` is its identifier, or empty. Start and end are in milliseconds."""

    name: str
    start: int
    end: int
    text: str


@dataclass(frozen=True)
class ClipFiles:
    """The files of a clip: the film as the camera wrote it, and its captions by language."""

    path: Path
    captions: Mapping[str, tuple[Cue, ...]]


@dataclass(frozen=True)
class CodedFile:
    """A file that the build made: its SHA-256 in hexadecimal, and its size in bytes."""

    digest: str
    size: int


@dataclass(frozen=True)
class ShownClip:
    """A clip as it is published: a file of its own, and a chapter of the whole film."""

    clip: FilmClip
    start: int
    end: int
    """Its place in the whole film, in milliseconds."""
    file: CodedFile
    small: CodedFile
    """For slow links."""
    still: CodedFile
    is_silent: bool
    captions: Mapping[str, tuple[Cue, ...]]
    """By language, timed from the beginning of the clip."""

    @property
    def lacks_captions(self) -> bool:
        """Return whether somebody may be speaking in it and nobody has written down what."""
        starts_engine = self.clip.station == COLD_START
        return not (self.is_silent or self.captions or self.clip.captions == "none" or starts_engine)


@dataclass(frozen=True)
class ShownFilm:
    """A film as it is published. Each file is kept under its digest."""

    width: int
    height: int
    file: CodedFile
    small: CodedFile
    """For slow links."""
    poster: CodedFile
    clips: tuple[ShownClip, ...]
    """In the order of the walk."""
    captions: Mapping[str, CodedFile]
    """WebVTT files by language."""

    @property
    def length(self) -> int:
        """The length in milliseconds."""
        return self.clips[-1].end


Seconds = Annotated[float, Field(ge=0, le=4 * 3600)]


COLD_START: Final = "cold start"
"""The station of a film at which the engine is started cold. It comes before the stations of the walk."""
FilmStation = Literal["cold start"] | Station
FILM_ORDER: dict[str, int] = {station: place for place, station in enumerate([COLD_START, *map(str, Station)])}
"""The place of each station in the film."""


class CoverMoment(Record):
    """Where a cover is at one moment of a clip: left, top, width and height, as fractions of the picture."""

    at: Seconds
    """Seconds from the beginning of the file."""
    x: Fraction01
    """Left edge of the cover, as a fraction of the picture's width."""
    y: Fraction01
    """Upper edge of the cover, as a fraction of the picture's height."""
    w: Annotated[float, Field(gt=0, le=1)]
    """Width of the cover, as a fraction of the picture's width."""
    h: Annotated[float, Field(gt=0, le=1)]
    """Height of the cover, as a fraction of the picture's height."""


class FilmClip(Record):
    """One clip of the film: a file, or a part of one, that shows one station or one defect."""

    model_config = ConfigDict(populate_by_name=True)

    file: VideoFile
    """A file in the vehicle's folder `film`, as the phone or camera wrote it."""
    station: FilmStation | None = None
    """The station that the clip shows."""
    defect: Slug | None = None
    """The defect that the clip shows, by its id."""
    starts: Seconds = Field(0, alias="from")
    """Seconds from the beginning of the file at which the clip begins."""
    ends: Seconds | None = Field(None, alias="to")
    """Seconds from the beginning of the file at which the clip ends; left out for the end of the file."""
    covers: tuple[Annotated[tuple[CoverMoment, ...], Field(min_length=2)], ...] = ()
    """Plates and faces to hide: for each, its place at two or more moments. Between them the cover moves evenly."""
    captions: Captions | None = None
    """The spoken words as WebVTT files by language, timed from the beginning of the clip; `none` if nobody speaks."""

    @model_validator(mode="after")
    def _shows_one_thing(self) -> Self:
        if (self.station is None) is (self.defect is None):
            raise input_error("a station or a defect, one of the two", "write what this clip shows: station: front")
        if self.ends is not None and self.ends <= self.starts:
            raise input_error("an end (`to`) after the beginning (`from`)", "check both times")
        return self


class Film(Record):
    """The filmed walk-around, as clips in any order: the page shows them in the order of the walk.

    One long film is several clips of one file, each with its times.
    """

    clips: Annotated[tuple[FilmClip, ...], Field(min_length=1)]
    poster: PhotoFile | None = None
    """The photo shown until the film plays; left out for a sharp and bright picture of the film itself."""
