"""Brings the films of a store's vehicles up to date: clips for the web, one film of them, and their captions."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import PurePosixPath

from sitegen.engine.engine import Engine
from sitegen.engine.mapping import HERE, Executors, Progress, map_task
from sitegen.film.coding import RENDITIONS, Cut, fitted_size
from sitegen.film.covers import CoverBox
from sitegen.film.probing import FilmFacts
from sitegen.film.program import Program, find_program
from sitegen.film.tasks import (
    ClipRequest,
    CodedClip,
    SourceFile,
    caption_file,
    coded_clip,
    joined_film,
    joined_key,
    source_file,
)
from sitegen.film.walk_order import captions_of, chapters_of, in_walk_order, webvtt
from sitegen.records.disclosure import WALK_ORDER
from sitegen.records.film import COLD_START, CodedFile, FilmClip, ShownClip, ShownFilm
from sitegen.records.problems import Problem, Severity, unexpected_problem
from sitegen.records.store import Store, StoredVehicle
from sitegen.records.vehicle_record import VehicleRecord


def make_films(
    store: Store, engine: Engine, progress: Progress = lambda *_: None, executors: Executors = HERE
) -> tuple[Store, tuple[Problem, ...]]:
    """Return the store with its films as they are published, and the problems of those that cannot be used.

    `progress` receives how many seconds of film are done, of how many, and the clip's path in the store.
    """
    filmed = [vehicle for vehicle in store.vehicles if vehicle.clips and vehicle.record.film is not None]
    if not filmed:
        return store, ()
    program = find_program()
    if program is None:
        found, expected = "films, and no program that converts them", "the program FFmpeg"
        mend = 'install it with: pip install "sitegen[film]"; until then pages go out without their films'
        return store, (Problem("vehicles", 0, 0, "", found, expected, mend, Severity.WARNING),)
    made: dict[str, ShownFilm] = {}
    problems: list[Problem] = []
    sources = _sources(filmed, store, program, engine, executors, problems)
    requests = {vehicle.record.stock: _requests(vehicle, sources, program) for vehicle in filmed}
    coded = _code(filmed, requests, engine, progress, executors, problems)
    for vehicle in filmed:
        keys = [request.key for request in requests[vehicle.record.stock]]
        if keys and all(key in coded for key in keys):
            made[vehicle.record.stock] = _film(vehicle, keys, [coded[key] for key in keys], engine)
    problems += (warning for vehicle in filmed for warning in _without_captions(vehicle, made))
    vehicles = tuple(
        replace(vehicle, film=made[vehicle.record.stock]) if vehicle.record.stock in made else vehicle
        for vehicle in store.vehicles
    )
    return replace(store, vehicles=vehicles), tuple(problems)


def _order(vehicle: StoredVehicle) -> list[int]:
    """Return the places of a record's clips in the order of the walk."""
    film = vehicle.record.film
    assert film is not None
    ordered = in_walk_order(film.clips, _numbers(vehicle.record))
    places = {id(clip): place for place, clip in enumerate(film.clips)}
    return [places[id(clip)] for clip in ordered]


def _numbers(record: VehicleRecord) -> dict[str, tuple[int, str]]:
    """Return each defect's number and station, in the order of the walk, as the page counts them."""
    ordered = sorted(record.defects, key=lambda defect: WALK_ORDER[defect.where.station])
    return {defect.id: (number, defect.where.station.value) for number, defect in enumerate(ordered, start=1)}


def _clips(vehicle: StoredVehicle) -> list[FilmClip]:
    film = vehicle.record.film
    assert film is not None
    return [film.clips[place] for place in _order(vehicle)]


def _shown_path(vehicle: StoredVehicle, clip: FilmClip) -> str:
    return (PurePosixPath(vehicle.inspection_file).parent / "film" / clip.file).as_posix()


def _sources(
    filmed: Sequence[StoredVehicle],
    store: Store,
    program: Program,
    engine: Engine,
    executors: Executors,
    problems: list[Problem],
) -> dict[str, SourceFile]:
    """Return the facts of each film's file by its path in the store, and let the engine find it by its digest."""
    keys = {
        json.dumps([path, program.version]): path
        for vehicle in filmed
        for path in (_shown_path(vehicle, clip) for clip in _clips(vehicle))
    }
    failed: dict[str, Exception] = {}
    map_task(engine, source_file, keys, executors, failed.__setitem__)
    sources: dict[str, SourceFile] = {}
    for key, path in keys.items():
        if key in failed:
            problems.append(unexpected_problem(path, failed[key]))
            continue
        found = engine.result(source_file, key)
        if found.facts is None:
            problems.append(_problem(path, found.fault))
            continue
        sources[path] = found
        engine.sources[found.digest] = store.folder / path
    return sources


def _requests(vehicle: StoredVehicle, sources: dict[str, SourceFile], program: Program) -> list[ClipRequest]:
    """Return the request of each clip in the order of the walk; none if a file of the film cannot be used."""
    clips = _clips(vehicle)
    found = [sources.get(_shown_path(vehicle, clip)) for clip in clips]
    usable = [(source, source.facts) for source in found if source is not None and source.facts is not None]
    if len(usable) < len(clips):
        return []
    frames = tuple(_frame([facts for _, facts in usable], each.short_side) for each in RENDITIONS)
    return [
        ClipRequest(
            source.digest,
            facts,
            frames,
            Cut(clip.starts, clip.ends),
            tuple(tuple(CoverBox(at.at, at.x, at.y, at.w, at.h) for at in cover) for cover in clip.covers),
            clip.station == COLD_START,
            program.version,
        )
        for clip, (source, facts) in zip(clips, usable, strict=True)
    ]


def _frame(clips: Sequence[FilmFacts], short_side: int) -> tuple[int, int]:
    """Return the size of the whole film: that of its largest clip of the shape that most clips have."""
    upright = sum(facts.height > facts.width for facts in clips)
    is_upright = upright * 2 > len(clips)
    of_shape = [facts for facts in clips if (facts.height > facts.width) is is_upright]
    largest = max(of_shape or clips, key=lambda facts: min(min(facts.width, facts.height), short_side))
    return fitted_size(largest.width, largest.height, short_side)


def _code(
    filmed: Sequence[StoredVehicle],
    requests: dict[str, list[ClipRequest]],
    engine: Engine,
    progress: Progress,
    executors: Executors,
    problems: list[Problem],
) -> dict[str, CodedClip]:
    """Return every clip that could be coded, by the key of its request."""
    paths: dict[str, str] = {}
    seconds: dict[str, float] = {}
    for vehicle in filmed:
        for clip, request in zip(_clips(vehicle), requests[vehicle.record.stock], strict=False):
            path = _shown_path(vehicle, clip)
            paths[request.key] = path
            ends = request.cut.end or request.facts.seconds or request.cut.start + 1
            seconds[request.key] = max(ends - request.cut.start, 0)
    failed: dict[str, Exception] = {}
    map_task(
        engine,
        coded_clip,
        paths,
        executors,
        failed.__setitem__,
        _in_seconds(engine, paths, seconds, progress),
    )
    coded: dict[str, CodedClip] = {}
    for key, path in paths.items():
        if key in failed:
            problems.append(unexpected_problem(path, failed[key]))
        elif (found := engine.result(coded_clip, key)).fault is not None:
            problems.append(_problem(path, found.fault))
        else:
            coded[key] = found
    return coded


def _in_seconds(
    engine: Engine, paths: dict[str, str], seconds: dict[str, float], progress: Progress
) -> Callable[[int, int, str], None]:
    """Return the callback that reports the progress of clips in seconds of film."""
    whole = round(sum(seconds[key] for key in paths if not engine.is_valid(coded_clip, key)))
    done: list[float] = []

    def tell(_done: int, _count: int, key: str) -> None:
        done.append(seconds[key])
        progress(min(round(sum(done)), whole), whole, paths[key])

    return tell


def _film(vehicle: StoredVehicle, keys: Sequence[str], coded: Sequence[CodedClip], engine: Engine) -> ShownFilm:
    clips, order = _clips(vehicle), _order(vehicle)
    captions = [vehicle.clips[place].captions for place in order]
    chapters = chapters_of(clips, [clip.length for clip in coded])
    file, small = (
        coded[0].renditions[number] if len(keys) == 1 else engine.result(joined_film, joined_key(keys, number))
        for number in range(len(RENDITIONS))
    )
    shown = []
    for chapter, each, cues in zip(chapters, coded, captions, strict=True):
        assert each.still is not None
        own, own_small = each.renditions
        place = (chapter.clip, chapter.start, chapter.end)
        shown.append(ShownClip(*place, own, own_small, each.still, each.is_silent, cues))
    languages = dict.fromkeys(language for cues in captions for language in cues)
    texts = {
        language: webvtt(captions_of(chapters, [cues.get(language, ()) for cues in captions]))
        for language in languages
    }
    written = {
        language: CodedFile(engine.result(caption_file, text).decode(), len(text.encode()))
        for language, text in texts.items()
    }
    best = max(coded, key=lambda clip: clip.merit)
    assert best.poster is not None
    width, height = ClipRequest.of(keys[0]).frames[0]
    return ShownFilm(width, height, file, small, best.poster, tuple(shown), written)


def _without_captions(vehicle: StoredVehicle, made: dict[str, ShownFilm]) -> Iterator[Problem]:
    film = made.get(vehicle.record.stock)
    for each in film.clips if film is not None else ():
        if each.lacks_captions:
            found, expected = "a film with sound and without captions", "captions of what is said (WCAG 2.2, 1.2.2)"
            mend = "add captions: {en: FILE.vtt} to its clip, or captions: none if nobody speaks"
            yield Problem(_shown_path(vehicle, each.clip), 0, 0, "", found, expected, mend, Severity.WARNING)


def _problem(path: str, fault: str | None) -> Problem:
    mend = "copy it again from the phone, or take its clips out of the inspection"
    return Problem(path, 0, 0, "", f"a film {fault}", "a film that can be shown", mend)
