"""Read and check a vehicle's `video` folder: the filmed walk-around with its captions and chapters."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from sitegen.reading.checks.named_files import NamedFolder, photo_files
from sitegen.reading.validation.did_you_mean import LIKENESS_OF_NAMES, did_you_mean
from sitegen.reading.video.cues import PlacedCue, read_cues
from sitegen.reading.video.mp4_files import mp4_facts
from sitegen.reading.video.video_facts import VideoFacts
from sitegen.reading.video.webm_files import webm_facts
from sitegen.reading.yaml.files import read_text
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem, Severity
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import CueFile, Footage, WalkAround

FOLDER = "video"
_WIDELY_PLAYED = {"avc1": "H.264", "avc3": "H.264", "vp08": "VP8", "vp09": "VP9", "av01": "AV1"} | {
    "V_VP8": "VP8",
    "V_VP9": "VP9",
    "V_AV1": "AV1",
}


def read_footage(
    record: VehicleRecord, marks: Marks, vehicle: Path, is_whole: bool
) -> tuple[Footage | None, list[Problem]]:
    """Return the files of a vehicle's filmed walk-around, or None, and every problem of them.

    Problems about missing values are reported only if the record `is_whole`. The footage is None if the record has no
    walk-around, or if the walk-around or its files have an error.
    """
    files = photo_files(vehicle / FOLDER)
    shown_as = (Path(marks.file).parent / FOLDER).as_posix()
    walk = record.walk_around
    problems = [*_unused(walk, files, shown_as)] if is_whole else []
    if walk is None:
        return None, problems
    for path, file in _named(walk):
        problems += NamedFolder(files, "file", "the vehicle's folder video").check(marks, path, file)
    if is_whole:
        problems += _wrong_poster(walk, record, marks)
    if any(problem.severity is Severity.ERROR for problem in problems):
        return None, problems
    place = ("walk_around", "file")
    facts, of_video = _read_video(vehicle / FOLDER / walk.file, marks, place)
    problems += of_video
    captions, of_captions = _read_cue_files(walk.captions, vehicle / FOLDER, shown_as, facts)
    chapters, of_chapters = _read_cue_files(walk.chapters, vehicle / FOLDER, shown_as, facts)
    problems += [*of_captions, *of_chapters]
    if is_whole:
        ids = list(record.defects_ever())
        for language, placed in chapters.items():
            problems += _unknown_defects(placed, ids, f"{shown_as}/{walk.chapters[language]}")
    if facts is None or facts.length is None or any(problem.severity is Severity.ERROR for problem in problems):
        return None, problems
    return Footage(
        path=vehicle / FOLDER / walk.file,
        digest=_digest(vehicle / FOLDER / walk.file),
        mime=facts.mime,
        width=facts.width,
        height=facts.height,
        length=facts.length,
        captions=_cue_files(captions, walk.captions, vehicle / FOLDER),
        chapters=_cue_files(chapters, walk.chapters, vehicle / FOLDER),
    ), problems


def _named(walk: WalkAround) -> Iterator[tuple[KeyPath, str]]:
    """Yield each file that the record names, with its path in the record."""
    yield ("walk_around", "file"), walk.file
    for key, files in (("captions", walk.captions), ("chapters", walk.chapters)):
        for language, file in files.items():
            yield ("walk_around", key, language), file


def _unused(walk: WalkAround | None, files: Mapping[str, bool], shown_as: str) -> Iterator[Problem]:
    named = {file for _, file in _named(walk)} if walk is not None else set()
    for file in files:
        if file not in named:
            expected = "a file that walk_around in the inspection names"
            mend = "name it there, or take the file away"
            found = "a file that is not used"
            yield Problem(f"{shown_as}/{file}", 0, 0, "", found, expected, mend, Severity.WARNING)


def _wrong_poster(walk: WalkAround, record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
    photos = [*record.photos, *(photo for defect in record.defects for photo in defect.photos)]
    names = [photo.file for photo in photos]
    if walk.poster is not None and walk.poster not in names:
        mend = did_you_mean(walk.poster, names, "list the photo under photos, or leave this out", LIKENESS_OF_NAMES)
        yield marks.problem(("walk_around", "poster"), "one of the photos that the inspection lists", mend)


def _read_video(file: Path, marks: Marks, place: KeyPath) -> tuple[VideoFacts | None, list[Problem]]:
    size = file.stat().st_size
    with file.open("rb") as video:
        beginning = video.read(12)
        is_mp4, is_webm = beginning[4:8] == b"ftyp", beginning.startswith(b"\x1a\x45\xdf\xa3")
        read = mp4_facts if is_mp4 else webm_facts if is_webm else None
        facts = read(video, size) if read else None
    return facts, [
        marks.problem(place, expected, mend, found=f"{file.name}, {found}", severity=severity)
        for found, expected, mend, severity in _check_video(facts, is_video=read is not None)
    ]


def _check_video(facts: VideoFacts | None, is_video: bool) -> Iterator[tuple[str, str, str, Severity]]:
    """Yield what was found, what was expected, how to correct it, and the severity."""
    export = "export it again as MP4 with H.264, or as WebM"
    if not is_video:
        yield "which by its first bytes is neither", "an MP4 or WebM file", export, Severity.ERROR
    elif facts is None:
        found = "which is cut short, or holds no video that we can read"
        yield found, "a whole MP4 or WebM file", "copy it again from the camera, or export it again", Severity.ERROR
    elif facts.mime == "video/quicktime":
        yield "which is a QuickTime file", "an MP4 or WebM file", export, Severity.ERROR
    else:
        if facts.has_location:
            mend = "export it again without location, and turn location off in the camera for the next one"
            yield "which says where on Earth it was filmed", "a video without its location", mend, Severity.ERROR
        if facts.length is None:
            mend = "export it again: a recording that was never finished lacks it"
            yield "which does not say how long it is", "a video with its length", mend, Severity.ERROR
        if facts.coding not in _WIDELY_PLAYED:
            expected = "video coded as H.264, VP8, VP9 or AV1, which browsers play"
            yield f"coded as {facts.coding}, which many do not play", expected, export, Severity.WARNING


def _read_cue_files(
    files: Mapping[str, str], folder: Path, shown_as: str, facts: VideoFacts | None
) -> tuple[dict[str, list[PlacedCue]], list[Problem]]:
    """Return the cues of each language, and all problems."""
    cues: dict[str, list[PlacedCue]] = {}
    problems: list[Problem] = []
    for language, file in files.items():
        text, faults = read_text(folder / file, f"{shown_as}/{file}")
        problems += faults
        if text is not None:
            cues[language], of_cues = read_cues(text, f"{shown_as}/{file}")
            problems += of_cues
            if facts is not None and facts.length is not None:
                problems += _late_cues(cues[language], facts.length, f"{shown_as}/{file}")
    return cues, problems


def _late_cues(cues: Sequence[PlacedCue], length: int, shown_as: str) -> Iterator[Problem]:
    for placed in cues:
        if placed.cue.start >= length:
            found = f"a cue that begins after {placed.cue.start / 1000:g} s"
            expected = f"a beginning within the video, which is {length / 1000:.1f} s long"
            mend = "check the time, and that this is the right video"
            yield Problem(shown_as, placed.times_line, 1, "", found, expected, mend)


def _unknown_defects(cues: Sequence[PlacedCue], ids: Sequence[str], shown_as: str) -> Iterator[Problem]:
    """Yield a problem for each chapter name that is not a defect's id. Plain numbers are allowed as cue counters."""
    for placed in cues:
        name = placed.cue.name
        if name and not name.isdecimal() and name not in ids:
            mend = did_you_mean(name, ids, "list the defect under defects, or delete this line", LIKENESS_OF_NAMES)
            yield Problem(shown_as, placed.line, 1, "", name, "the id of a defect of this vehicle", mend)


def _cue_files(cues: Mapping[str, Sequence[PlacedCue]], files: Mapping[str, str], folder: Path) -> dict[str, CueFile]:
    return {
        language: CueFile(
            folder / files[language],
            _digest(folder / files[language]),
            tuple(placed_cue.cue for placed_cue in placed),
        )
        for language, placed in cues.items()
    }


def _digest(file: Path) -> str:
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()
