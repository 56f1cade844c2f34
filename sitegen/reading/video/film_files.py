"""Read and check the files of a vehicle's film: clips and captions in its folder `film`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from sitegen.reading.checks.named_files import NamedFolder, photo_files
from sitegen.reading.validation.did_you_mean import LIKENESS_OF_NAMES, did_you_mean
from sitegen.reading.video.cues import PlacedCue, read_cues
from sitegen.reading.video.spoken_figures import check_spoken_figures
from sitegen.reading.yaml.files import read_text
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.film import ClipFiles, Film, FilmClip
from sitegen.records.problems import Problem, Severity
from sitegen.records.vehicle_record import VehicleRecord

FOLDER = "film"


def read_film(
    record: VehicleRecord, marks: Marks, vehicle: Path, is_whole: bool
) -> tuple[tuple[ClipFiles, ...], list[Problem]]:
    """Return the files of each clip of a vehicle's film, and every problem of them.

    Problems about missing values are reported only if the record `is_whole`. There are no files if the record has no
    film, or if one of them has an error. What the clips hold is found when they are converted.
    """
    files = photo_files(vehicle / FOLDER)
    shown_as = (Path(marks.file).parent / FOLDER).as_posix()
    film = record.film
    problems = [*_unused(film, files, shown_as)] if is_whole else []
    if film is None:
        return (), problems
    for path, file in _named(film):
        problems += NamedFolder(files, "file", f"the vehicle's folder {FOLDER}").check(marks, path, file)
    if is_whole:
        problems += _wrong_poster(film, record, marks)
        problems += _wrong_defects(film, record, marks)
        problems += _not_shown(film, record, marks)
    if any(problem.severity is Severity.ERROR for problem in problems):
        return (), problems
    clips = []
    for clip in film.clips:
        cues, faults = _read_captions(clip, vehicle / FOLDER, shown_as)
        problems += faults
        for language, placed in cues.items():
            problems += check_spoken_figures(placed, record, f"{shown_as}/{_captions(clip)[language]}")
        captions = {language: tuple(each.cue for each in placed) for language, placed in cues.items()}
        clips.append(ClipFiles(vehicle / FOLDER / clip.file, captions))
    is_wrong = any(problem.severity is Severity.ERROR for problem in problems)
    return () if is_wrong else tuple(clips), problems


def _captions(clip: FilmClip) -> Mapping[str, str]:
    return clip.captions if isinstance(clip.captions, dict) else {}


def _named(film: Film) -> Iterator[tuple[KeyPath, str]]:
    """Yield each file that the record names, with its path in the record."""
    for place, clip in enumerate(film.clips):
        yield ("film", "clips", place, "file"), clip.file
        for language, file in _captions(clip).items():
            yield ("film", "clips", place, "captions", language), file


def _unused(film: Film | None, files: Mapping[str, bool], shown_as: str) -> Iterator[Problem]:
    named = {file for _, file in _named(film)} if film is not None else set()
    for file in files:
        if file not in named:
            expected = "a file that the film in the inspection names"
            mend = "name it there, or take the file away"
            found = "a file that is not used"
            yield Problem(f"{shown_as}/{file}", 0, 0, "", found, expected, mend, Severity.WARNING)


def _wrong_poster(film: Film, record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
    photos = [*record.photos, *(photo for defect in record.defects for photo in defect.photos)]
    names = [photo.file for photo in photos]
    if film.poster is not None and film.poster not in names:
        mend = did_you_mean(film.poster, names, "list the photo under photos, or leave this out", LIKENESS_OF_NAMES)
        yield marks.problem(("film", "poster"), "one of the photos that the inspection lists", mend)


def _wrong_defects(film: Film, record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
    """Yield a problem for each clip of a defect that the record does not list and never listed."""
    ids = [defect.id for inspected in (record, *record.earlier) for defect in inspected.defects]
    for place, clip in enumerate(film.clips):
        if clip.defect is not None and clip.defect not in ids:
            mend = did_you_mean(clip.defect, ids, "list the defect under defects first", LIKENESS_OF_NAMES)
            yield marks.problem(("film", "clips", place, "defect"), "the id of a defect of this vehicle", mend)


def _not_shown(film: Film, record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
    shown = {clip.defect for clip in film.clips}
    missing = [defect.id for defect in record.defects if defect.id not in shown]
    if missing:
        found = f"a film that does not show {', '.join(missing)}"
        expected, mend = "a clip of every defect", f"film it, and add {{file: ..., defect: {missing[0]}}}"
        yield marks.problem(("film", "clips"), expected, mend, found=found, severity=Severity.WARNING)


def _read_captions(clip: FilmClip, folder: Path, shown_as: str) -> tuple[dict[str, list[PlacedCue]], list[Problem]]:
    """Return the cues of each language, and all problems."""
    cues: dict[str, list[PlacedCue]] = {}
    problems: list[Problem] = []
    for language, file in _captions(clip).items():
        text, faults = read_text(folder / file, f"{shown_as}/{file}")
        problems += faults
        if text is not None:
            cues[language], of_cues = read_cues(text, f"{shown_as}/{file}")
            problems += of_cues
    return cues, problems
