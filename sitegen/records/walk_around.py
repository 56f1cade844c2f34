"""A filmed walk-around: its entry in the record, and the contents of its video, caption and chapter files.

Times are whole milliseconds from the start of the video, the resolution of WebVTT.
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
