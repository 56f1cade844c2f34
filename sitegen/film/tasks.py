"""The tasks of films: facts of a file, a clip coded for the web, clips joined to a film, and captions.

The version of FFmpeg is part of each key: another version makes other bytes.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from pydantic import TypeAdapter

from sitegen.engine.reader import Reader
from sitegen.engine.task import BYTES, task, typed
from sitegen.film.coding import RENDITIONS, Cut
from sitegen.film.covers import CoverBox
from sitegen.film.making import best_moment, code_clip, join_clips, measure_loudness, poster_merit, take_still
from sitegen.film.probing import FilmFacts, probe
from sitegen.film.program import FilmError, Program, find_program
from sitegen.records.film import CodedFile

CHAPTER_WIDTH = 240
"""Pixels: the picture of a chapter is shown half as wide."""
_JPEG_QUALITY = 80


class OtherProgramError(Exception):
    """This machine has no FFmpeg, or another version than the one that the key names."""


@dataclass(frozen=True)
class SourceFile:
    """The facts of a film's file, or the fault why it cannot be used."""

    digest: str
    facts: FilmFacts | None
    fault: str | None = None


@dataclass(frozen=True)
class ClipRequest:
    """A part of a source, and how it is wanted. The same request always gives the same clip."""

    digest: str
    facts: FilmFacts
    frames: tuple[tuple[int, int], ...]
    """The size of each rendition, in pixels."""
    cut: Cut
    covers: tuple[tuple[CoverBox, ...], ...]
    is_cold_start: bool
    version: str

    @property
    def key(self) -> str:
        """The request as the key of `coded_clip`."""
        return json.dumps(asdict(self), separators=(",", ":"))

    @classmethod
    def of(cls, key: str) -> ClipRequest:
        """Return the request that a key was written from."""
        request: ClipRequest = TypeAdapter(cls).validate_json(key)
        return request


@dataclass(frozen=True)
class CodedClip:
    """A clip for the web, or the fault why there is none."""

    renditions: tuple[CodedFile, ...] = ()
    length: int = 0
    """In milliseconds."""
    poster: CodedFile | None = None
    merit: float = 0
    """How well the poster serves as such."""
    still: CodedFile | None = None
    is_silent: bool = True
    fault: str | None = None


@task(typed(SourceFile), seconds=0.5, megabytes=300.0, is_near=True)
def source_file(read: Reader, key: str) -> SourceFile:
    """Return the facts of a film's file. The key holds its path in the store, and the version of FFmpeg."""
    path, version = json.loads(key)
    file = read.file(path)
    with file.open("rb") as content:
        digest = hashlib.file_digest(content, "sha256").hexdigest()
    try:
        return SourceFile(digest, probe(_program(version), file))
    except FilmError as fault:
        return SourceFile(digest, None, str(fault))


def _source_of(key: str) -> Iterable[str]:
    return [json.loads(key)["digest"]]


@task(typed(CodedClip), seconds=15.0, megabytes=900.0, sources=_source_of)
def coded_clip(read: Reader, key: str) -> CodedClip:
    """Code a clip for the web in every rendition, and take its stills. The key is a `ClipRequest`."""
    request = ClipRequest.of(key)
    program = _program(request.version)
    with read.source_file(request.digest) as given, TemporaryDirectory(prefix="sitegen-film-") as scratch:
        try:
            return _coded(read, request, program, given, Path(scratch))
        except FilmError as fault:
            return CodedClip(fault=str(fault))


def _coded(read: Reader, request: ClipRequest, program: Program, given: Path, scratch: Path) -> CodedClip:
    facts = request.facts
    loudness = measure_loudness(program, given, request.cut) if facts.has_sound else None
    made: list[CodedFile] = []
    for rendition, frame in zip(RENDITIONS, request.frames, strict=True):
        to = scratch / f"{rendition.short_side}.mp4"
        code_clip(
            program, given, to, facts, frame, rendition,
            cut=request.cut, covers=request.covers, loudness=loudness, is_cold_start=request.is_cold_start,
        )  # fmt: skip
        made.append(_kept(read, to.read_bytes()))
    whole = scratch / f"{RENDITIONS[0].short_side}.mp4"
    seconds = probe(program, whole).seconds or 0
    moment, stills = best_moment(program, whole, seconds, scratch), scratch / "poster.png"
    take_still(program, whole, moment, stills)
    small = scratch / "chapter.png"
    take_still(program, whole, moment, small, CHAPTER_WIDTH)
    return CodedClip(
        tuple(made),
        round(seconds * 1000),
        _kept(read, _jpeg(stills)),
        poster_merit(stills),
        _kept(read, _jpeg(small)),
        loudness is None or loudness.is_silent,
    )


def joined_key(clips: Sequence[str], rendition: int) -> str:
    """Return the key of `joined_film` from the keys of its clips, in order, and the number of a rendition."""
    return json.dumps([rendition, *clips])


@task(typed(CodedFile), seconds=0.5, megabytes=200.0, is_near=True)
def joined_film(read: Reader, key: str) -> CodedFile:
    """Join coded clips to one film. The key is of `joined_key`."""
    rendition, *clips = json.loads(key)
    program = _program(ClipRequest.of(clips[0]).version)
    digests = [read.result(coded_clip, clip).renditions[rendition].digest for clip in clips]
    contents = (read.kept_file(coded_clip, clip, digest) for clip, digest in zip(clips, digests, strict=True))
    return _kept(read, _joined(program, contents))


def _joined(program: Program, contents: Iterable[bytes]) -> bytes:
    """Return the film that coded clips give together."""
    with TemporaryDirectory(prefix="sitegen-film-") as name:
        scratch, files = Path(name), list[Path]()
        for number, content in enumerate(contents):
            files.append(scratch / f"{number}.mp4")
            files[-1].write_bytes(content)
        join_clips(program, files, scratch / "film.mp4", scratch)
        return (scratch / "film.mp4").read_bytes()


@task(BYTES, seconds=0.001, is_near=True)
def caption_file(read: Reader, key: str) -> bytes:
    """Store a WebVTT file, and return its digest. The key is its text."""
    return read.keep(key.encode()).encode()


def _program(version: str) -> Program:
    program = find_program()
    if program is None or program.version != version:
        raise OtherProgramError(f"a machine that converts films lacks {version}")
    return program


def _kept(read: Reader, content: bytes) -> CodedFile:
    return CodedFile(read.keep(content), len(content))


def _jpeg(still: Path) -> bytes:
    to = BytesIO()
    with Image.open(still) as opened:
        opened.convert("RGB").save(to, "JPEG", quality=_JPEG_QUALITY, optimize=True, progressive=True)
    return to.getvalue()
