"""A filmed walk-around: its entry in the record, and the contents of its video, caption and chapter files.

Times are whole milliseconds from the start of the video, the resolution of WebVTT. A `Film` of clips is the form that
will replace one file with chapters; no record has it yet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import ConfigDict, Field, StringConstraints, model_validator

from sitegen.records.base import Language, LocalizedText, Record, Slug, input_error
from sitegen.records.disclosure import Fraction01, PhotoFile

VideoFile = Annotated[str, StringConstraints(min_length=1, max_length=200)]


class WalkAround(Record):
    """A filmed walk-around. Its files are in the vehicle's `video` folder; its length is read from the video."""

    file: VideoFile
    """Video file: MP4 or WebM."""
    captions: Annotated[dict[Language, VideoFile], Field(min_length=1)]
    """Caption files (WebVTT) by language: {en: walk.en.vtt}."""
    chapters: dict[Language, VideoFile] = Field(default_factory=dict)
    """Chapter files (WebVTT) by language. A cue starts a station, or the defect whose id is the cue's identifier."""
    poster: PhotoFile | None = None
    """Photo of this vehicle shown before the video plays. Without it, the first photo."""
    transcript: LocalizedText | None = None
    """Transcript for reading. Without it, the captions serve as the transcript."""


@dataclass(frozen=True)
class Cue:
    """One WebVTT cue. `name` is its identifier, or empty. Start and end are in milliseconds."""

    name: str
    start: int
    end: int
    text: str


@dataclass(frozen=True)
class CueFile:
    """A parsed WebVTT file."""

    path: Path
    digest: str
    """SHA-256 of its bytes, in hexadecimal."""
    cues: tuple[Cue, ...]


@dataclass(frozen=True)
class Footage:
    """The validated files of a filmed walk-around."""

    path: Path
    digest: str
    """SHA-256 of its bytes, in hexadecimal."""
    mime: str
    width: int
    height: int
    """Displayed size in pixels."""
    length: int
    """In milliseconds."""
    captions: Mapping[str, CueFile]
    chapters: Mapping[str, CueFile]
    """Caption and chapter files by language."""


Seconds = Annotated[float, Field(ge=0, le=4 * 3600)]


class FilmStation(StrEnum):
    """A station of the film, in the order of the film: the cold start, then the stations of the walk."""

    COLD_START = "cold start"
    FRONT = "front"
    LEFT_FRONT = "left front"
    LEFT_SIDE = "left side"
    LEFT_REAR = "left rear"
    REAR = "rear"
    RIGHT_REAR = "right rear"
    RIGHT_SIDE = "right side"
    RIGHT_FRONT = "right front"
    ROOF_AND_GLASS = "roof and glass"
    WHEELS = "wheels"
    CABIN = "cabin"
    LOAD_SPACE = "load space"
    ENGINE_BAY = "engine bay"
    UNDERSIDE = "underside"


class CoverMoment(Record):
    """Where a cover is at one moment of a clip: left, top, width and height, as fractions of the picture."""

    at: Seconds
    """Seconds from the beginning of the file."""
    x: Fraction01
    y: Fraction01
    w: Annotated[float, Field(gt=0, le=1)]
    h: Annotated[float, Field(gt=0, le=1)]


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
    captions: dict[Language, VideoFile] | Literal["none"] | None = None
    """The spoken words as WebVTT files by language, timed from the beginning of the clip; `none` if nobody speaks."""

    @model_validator(mode="after")
    def _shows_one_thing(self) -> Self:
        if (self.station is None) is (self.defect is None):
            raise input_error("a station or a defect, one of the two", "write what this clip shows: station: front")
        if self.ends is not None and self.ends <= self.starts:
            raise input_error("an end (`to`) after the beginning (`from`)", "check both times")
        return self


class Film(Record):
    """The filmed walk-around, as clips in any order: the page shows them in the order of the walk."""

    clips: Annotated[tuple[FilmClip, ...], Field(min_length=1)]
    poster: PhotoFile | None = None
    """The photo shown until the film plays; left out for a sharp and bright picture of the film itself."""
