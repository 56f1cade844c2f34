"""A filmed walk-around: what the record says of it, and what its files hold once they are read.

Times are whole milliseconds from the beginning of the video, as WebVTT writes them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field, StringConstraints

from sitegen.records.base import Language, LocalizedText, Record
from sitegen.records.disclosure import PhotoFile

VideoFile = Annotated[str, StringConstraints(min_length=1, max_length=200)]


class WalkAround(Record):
    """A filmed walk-around. Its files lie in the vehicle's folder `video/`; how long it is, the video tells."""

    file: VideoFile
    """The video: MP4 or WebM."""
    captions: Annotated[dict[Language, VideoFile], Field(min_length=1)]
    """What is said and shown, as WebVTT, by language: {en: walk.en.vtt}."""
    chapters: dict[Language, VideoFile] = Field(default_factory=dict)
    """Where each station begins, as WebVTT, by language. A cue may be named after a defect by the defect's id."""
    poster: PhotoFile | None = None
    """One of the vehicle's photos, to stand there until the video plays; without it, the first photo."""
    transcript: LocalizedText | None = None
    """What is said and shown, to be read; without it, the captions are."""


@dataclass(frozen=True)
class Cue:
    """Some words, and when they apply. `name` is its WebVTT identifier, empty if it has none."""

    name: str
    start: int
    end: int
    text: str


@dataclass(frozen=True)
class CueFile:
    """A WebVTT file that was read."""

    path: Path
    digest: str
    """SHA-256 of its bytes, in hexadecimal."""
    cues: tuple[Cue, ...]


@dataclass(frozen=True)
class Footage:
    """The files of a filmed walk-around, read and found right."""

    path: Path
    digest: str
    """SHA-256 of its bytes, in hexadecimal."""
    mime: str
    width: int
    height: int
    """Size in pixels, as it is shown."""
    length: int
    """In milliseconds."""
    captions: Mapping[str, CueFile]
    chapters: Mapping[str, CueFile]
    """By language."""
