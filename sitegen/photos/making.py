"""Makes the pictures of every photo that a store's records name, and makes none of them twice.

First every photo is judged by its header; if one cannot be used, nothing is made. Then those without pictures in the
cache go to the workers, one photo at a time each, and their pictures are kept as they come.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from sitegen.disk import write_whole
from sitegen.photos.deriving.deriving import Derived, derive
from sitegen.photos.deriving.share_picture import ShareCard, draw_share_picture, share_picture_name
from sitegen.photos.memory import Made, Memory
from sitegen.photos.opening.finding import NamedPhoto, find_fault, named_photos
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.photos.planning.pictures import Picture, Pictures
from sitegen.photos.planning.planning import PhotoFacts, Plan, plan_pictures
from sitegen.photos.workers import LocalWorkers, run_bounded
from sitegen.records.problems import Problem
from sitegen.records.store import Store

Result = TypeVar("Result")
Progress = Callable[[int, int, str], None]
"""Is told how many photos are done, of how many to make, and the last one's path in the store."""

DRAWN_HERE = 12
"""So many share pictures are drawn in the time that it takes to start workers."""
MEGABYTES_A_DRAWING = 20.0
"""What drawing one takes, at most, about: its photo of 1600 x 1200 and itself, each decoded."""


@dataclass(frozen=True)
class Job:
    """A photo whose pictures are wanted."""

    photo: NamedPhoto
    facts: PhotoFacts
    plan: Plan


def make_pictures(
    store: Store, cache: Path, progress: Progress, executor: Executor | None = None
) -> tuple[Pictures, tuple[Problem, ...]]:
    """Return the pictures of a store's photos, and the problems of those that cannot be used.

    `cache` is the store's `.cache` folder. Without an `executor`, all cores of this machine work.
    """
    with Memory(cache) as memory:
        jobs, problems = judge_all(store, memory)
        if problems:
            return Pictures(memory.pictures, {}), problems
        pictures: dict[tuple[str, str], Picture] = {}
        to_make: dict[str, Job] = {}
        for job in jobs:
            if memory.recall_made(job.plan.key) is None:
                to_make.setdefault(job.plan.key, job)
        problems = _make(list(to_make.values()), memory, progress, executor)
        for job in jobs:
            known = memory.recall_made(job.plan.key)
            if known is not None:
                picture = job.plan.picture(job.facts, known.placeholder, known.digest)
                pictures[job.photo.stock, job.photo.file] = picture
        made = Pictures(memory.pictures, pictures)
        memory.sweep(made.files().keys())
        return made, problems


def make_share_pictures(
    cards: Mapping[str, ShareCard], pictures: Pictures, executor: Executor | None = None
) -> dict[str, Path]:
    """Return where each share picture is now, by its path in the site; what was drawn before is not drawn again.

    A few are drawn here, for workers take longer to come; many by the `executor`, or by all cores of this machine.
    """
    places = {file: pictures.folder / share_picture_name(card) for file, card in cards.items()}
    wanted = {places[file]: card for file, card in cards.items() if not places[file].exists()}
    if len(wanted) <= DRAWN_HERE:
        for place, card in wanted.items():
            write_whole(place, draw_share_picture(card, _photo_of(card, pictures)))
        return places

    def submit(workers: Executor, task: tuple[Path, ShareCard]) -> Future[bytes]:
        return workers.submit(draw_share_picture, task[1], _photo_of(task[1], pictures))

    tasks = [(task, MEGABYTES_A_DRAWING) for task in wanted.items()]
    with nullcontext(executor) if executor else LocalWorkers() as workers:
        for (place, _), drawn in run_bounded(workers, submit, tasks):
            write_whole(place, drawn)
    return places


def _photo_of(card: ShareCard, pictures: Pictures) -> bytes | None:
    return (pictures.folder / card.photo.full.name).read_bytes() if card.photo else None


def judge_named(photo: NamedPhoto, memory: Memory) -> PhotoFacts | Fault:
    """Return what is known of a photo before decoding it, read from its file only if that has changed."""
    fault = find_fault(photo)
    if fault is not None:
        return fault
    status = photo.path.stat()
    known = memory.recall_photo(photo.shown_path, status)
    if known is not None:
        return known
    judged = judge_photo(photo.path.read_bytes(), photo.file)
    if isinstance(judged, PhotoFacts):
        memory.note_photo(photo.shown_path, status, judged)
    return judged


def judge_all(store: Store, memory: Memory) -> tuple[list[Job], tuple[Problem, ...]]:
    """Return the work on every photo that can be used, and the problems of those that cannot."""
    jobs: list[Job] = []
    problems: list[Problem] = []
    for photo in named_photos(store):
        judged = judge_named(photo, memory)
        if isinstance(judged, Fault):
            problems.append(photo.problem(judged))
        else:
            jobs.append(Job(photo, judged, plan_pictures(judged, photo.covers, photo.is_close_up)))
    return jobs, tuple(problems)


def _make(jobs: list[Job], memory: Memory, progress: Progress, executor: Executor | None) -> tuple[Problem, ...]:
    if not jobs:
        return ()
    problems: list[Problem] = []
    weighed = [(job, job.facts.decoding_megabytes) for job in jobs]
    with nullcontext(executor) if executor else LocalWorkers() as workers:
        for done, (job, result) in enumerate(run_bounded(workers, _submit, weighed), start=1):
            if isinstance(result, Derived):
                digest = hashlib.sha256(result.pictures[job.plan.full.picture.name]).hexdigest()
                memory.keep_made(job.plan.key, Made(result.placeholder, digest), result.pictures)
                memory.note_measures(job.facts.digest, result.measures)
            else:
                problems.append(job.photo.problem(result))
            progress(done, len(jobs), job.photo.shown_path)
    return tuple(problems)


def submit_photo(
    executor: Executor, work: Callable[[bytes, Plan], Result | Fault], job: Job
) -> Future[Result | Fault]:
    """Hand a photo's bytes and plan to a worker; a photo that changed since it was judged comes back as a fault."""
    photo = job.photo.path.read_bytes()
    if hashlib.sha256(photo).hexdigest() == job.facts.digest:
        return executor.submit(work, photo, job.plan)
    changed: Future[Result | Fault] = Future()
    changed.set_result(Fault("a photo that changed while it was read", "a photo at rest", "build again"))
    return changed


def _submit(executor: Executor, job: Job) -> Future[Derived | Fault]:
    return submit_photo(executor, derive, job)
