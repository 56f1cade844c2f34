"""The view of the filmed walk-around: video, captions, chapters that link to defects, and a transcript."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from sitegen.pages.frame.addresses import Address
from sitegen.pages.language.formats import own_name
from sitegen.pages.language.translator import Text, Translator
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import Cue, CueFile, Footage, WalkAround

PAUSE = 2_000
"""Silence, in milliseconds, after which the transcript begins a new paragraph. A chapter begins one too."""
_ENDINGS = {"video/mp4": "mp4", "video/webm": "webm"}

Value = TypeVar("Value")


@dataclass(frozen=True)
class TrackView:
    """A `track` element of the video. `tag` is the track's language."""

    kind: str
    src: str
    tag: str
    label: str
    is_default: bool


@dataclass(frozen=True)
class ChapterView:
    """A chapter of the video: its link, its start time, its title, and the defect that it shows."""

    href: str
    time: str
    title: Text
    defect: str | None
    """The defect's anchor."""
    defect_words: str | None


@dataclass(frozen=True)
class WalkAroundView:
    """The view of the walk-around."""

    src: str
    mime: str
    width: int
    height: int
    poster: str | None
    introduction: str
    tracks: tuple[TrackView, ...]
    chapters: tuple[ChapterView, ...]
    transcript: tuple[Text, ...]
    """The paragraphs of the transcript."""

    def chapter_of(self, defect: str) -> ChapterView | None:
        """Return the chapter that shows a defect, by the defect's anchor."""
        return next((chapter for chapter in self.chapters if chapter.defect == defect), None)


def walk_around_view(
    record: VehicleRecord,
    footage: Footage | None,
    pictures: Pictures,
    numbers: Mapping[str, int],
    at: Address,
    translator: Translator,
) -> WalkAroundView | None:
    """Return the view of a vehicle's filmed walk-around, or None. `numbers` maps defect anchors to their numbers."""
    walk = record.walk_around
    if walk is None or footage is None:
        return None
    src = at.to(_video_file(footage))
    spoken, captions = _best(footage.captions, translator)
    titled, titles = _best(footage.chapters, translator) if footage.chapters else (spoken, None)
    chapters = titles.cues if titles is not None else ()
    return WalkAroundView(
        src=src,
        mime=footage.mime,
        width=footage.width,
        height=footage.height,
        poster=_poster(walk, record, pictures, at),
        introduction=translator.say(
            "video.introduction",
            length=translator.listed(translator.formats.duration(max(round(footage.length / 1000), 1))),
        ),
        tracks=tuple(_tracks(footage, at, spoken)),
        chapters=tuple(_chapter(cue, src, titled, numbers, translator) for cue in chapters),
        transcript=tuple(_transcript(walk, captions, spoken, chapters, translator)),
    )


def video_files(footage: Footage) -> Iterator[tuple[str, Path]]:
    """Yield the site path and the source file of the video and of its captions and chapters.

    A file's published name is a hash of its bytes.
    """
    yield _video_file(footage), footage.path
    for cues in (*footage.captions.values(), *footage.chapters.values()):
        yield _cue_file(cues), cues.path


def video_digests(footage: Footage) -> Iterator[tuple[str, str]]:
    """Yield the site path and the SHA-256, in hexadecimal, of the same files."""
    yield _video_file(footage), footage.digest
    for cues in (*footage.captions.values(), *footage.chapters.values()):
        yield _cue_file(cues), cues.digest


def _video_file(footage: Footage) -> str:
    return f"videos/{footage.digest[:20]}.{_ENDINGS[footage.mime]}"


def _cue_file(cues: CueFile) -> str:
    return f"videos/{cues.digest[:20]}.vtt"


def _best(by_language: Mapping[str, Value], translator: Translator) -> tuple[str, Value]:
    """Return a language and its value: the page's language if available, else the store's first, else any."""
    for wanted in (translator.language, translator.first_language):
        if wanted in by_language:
            return wanted, by_language[wanted]
    return next(iter(by_language.items()))


def _poster(walk: WalkAround, record: VehicleRecord, pictures: Pictures, at: Address) -> str | None:
    """Return the link to the poster's JPEG.

    A video has a single poster, so it must be in a format of all browsers.
    """
    file = walk.poster or (record.photos[0].file if record.photos else None)
    if file is None:
        return None
    return at.to(f"pictures/{pictures.of(record.stock, file).fallback.name}")


def _tracks(footage: Footage, at: Address, spoken: str) -> Iterator[TrackView]:
    for kind, files in (("captions", footage.captions), ("chapters", footage.chapters)):
        for language, cues in files.items():
            is_default = kind == "captions" and language == spoken
            yield TrackView(kind, at.to(_cue_file(cues)), language, own_name(language), is_default)


def _chapter(cue: Cue, src: str, language: str, numbers: Mapping[str, int], translator: Translator) -> ChapterView:
    """Return a chapter. Its link is a media fragment in seconds (W3C Media Fragments URI 1.0, 4.2.1)."""
    number = numbers.get(cue.name)
    return ChapterView(
        href=f"{src}#t={cue.start / 1000:g}",
        time=_clock(cue.start),
        title=_in_language(" ".join(cue.text.split()), language, translator),
        defect=cue.name if number is not None else None,
        defect_words=translator.say("video.defect", number=str(number)) if number is not None else None,
    )


def _clock(milliseconds: int) -> str:
    """Return a time as video players show it: 1:05 or 1:00:05."""
    minutes, seconds = divmod(milliseconds // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def _transcript(
    walk: WalkAround, captions: CueFile, spoken: str, chapters: Iterable[Cue], translator: Translator
) -> Iterator[Text]:
    if walk.transcript is not None:
        written = translator.text(walk.transcript)
        parts = written.text.split("\n\n")
        yield from (Text(" ".join(part.split()), written.language) for part in parts if part.strip())
        return
    for paragraph in paragraphs(captions.cues, [chapter.start for chapter in chapters]):
        yield _in_language(paragraph, spoken, translator)


def paragraphs(cues: Iterable[Cue], begins: Iterable[int]) -> list[str]:
    """Return captions joined to paragraphs. `begins` are the starts of chapters, in milliseconds.

    A new paragraph begins at a chapter and after a pause.
    """
    starts = sorted(begins)
    parts: list[list[str]] = []
    before: Cue | None = None
    for cue in cues:
        is_new = before is None or cue.start - before.end >= PAUSE
        is_new = is_new or any(before.start < start <= cue.start for start in starts if before)
        if is_new:
            parts.append([])
        parts[-1] += cue.text.split()
        before = cue
    return [" ".join(part) for part in parts]


def _in_language(text: str, language: str, translator: Translator) -> Text:
    return Text(text, None if language == translator.language else language)
