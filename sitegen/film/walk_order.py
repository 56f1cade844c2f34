"""Put clips in the order of the walk, and place chapters and captions on the joined film. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitegen.records.film import FILM_ORDER, Cue, FilmClip


@dataclass(frozen=True)
class Chapter:
    """A clip's place in the joined film, in milliseconds."""

    clip: FilmClip
    start: int
    end: int


def in_walk_order(clips: Iterable[FilmClip], defects: Mapping[str, tuple[int, str]]) -> list[FilmClip]:
    """Return the clips in the order of the walk.

    `defects` gives each defect's number and station by its id. A station's own clips come first, then those of its
    defects by their number, each in the order of the record. A clip of an unknown defect comes last.
    """

    def place(clip: FilmClip) -> tuple[int, int]:
        if clip.station is not None:
            return FILM_ORDER[clip.station], 0
        number, station = defects.get(clip.defect or "", (10_000, ""))
        return FILM_ORDER.get(station, len(FILM_ORDER)), number

    return sorted(clips, key=place)


def chapters_of(clips: Sequence[FilmClip], lengths: Sequence[int]) -> list[Chapter]:
    """Return one chapter per clip, in order. `lengths` are those of the coded clips, in milliseconds."""
    chapters: list[Chapter] = []
    for clip, length in zip(clips, lengths, strict=True):
        start = chapters[-1].end if chapters else 0
        chapters.append(Chapter(clip, start, start + length))
    return chapters


def captions_of(chapters: Iterable[Chapter], captions: Iterable[Sequence[Cue]]) -> list[Cue]:
    """Return the cues of all clips, timed from the start of the joined film.

    A cue ends with its clip at the latest.
    """
    return [
        Cue("", chapter.start + cue.start, min(chapter.start + cue.end, chapter.end), cue.text)
        for chapter, cues in zip(chapters, captions, strict=True)
        for cue in cues
        if chapter.start + cue.start < chapter.end
    ]


def webvtt(cues: Iterable[Cue]) -> str:
    """Return cues as a WebVTT file (W3C WebVTT, section 4). Signs that would begin a tag are escaped."""
    return "\n".join(["WEBVTT\n", *map(_block, cues)])


def _block(cue: Cue) -> str:
    name = f"{cue.name}\n" if cue.name else ""
    return f"{name}{_time(cue.start)} --> {_time(cue.end)}\n{_escaped(cue.text)}\n"


def _time(milliseconds: int) -> str:
    seconds, thousandths = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{thousandths:03}"


def _escaped(text: str) -> str:
    """Return text for a cue: on lines without gaps, which would end the cue, and without the arrow of times."""
    lines = [line for line in text.splitlines() if line.strip()]
    return "\n".join(lines).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
