"""Makes the pictures of every photo that a store's records name, and makes none of them twice.

First every photo is judged by its header; if one cannot be used, nothing is made. Then those without pictures in the
cache go to the workers, one photo at a time each, and their pictures are kept as they come.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Executor, Future
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from sitegen.photos.deriving.deriving import Derived, derive
from sitegen.photos.deriving.share_picture import ShareCard, draw_share_picture, share_picture_name
from sitegen.photos.memory import Made, Memory
from sitegen.photos.opening.finding import NamedPhoto, find_fault, named_photos
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.photos.planning.pictures import Pictures
from sitegen.photos.planning.planning import PhotoFacts, Plan, plan_pictures
from sitegen.records.problems import Problem
from sitegen.records.store import Store
from sitegen.workers import LocalWorkers, run_bounded

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
        by_key: dict[str, Job] = {}
        for job in jobs:
            by_key.setdefault(job.plan.key, job)
        known = {key: made for key in by_key if (made := memory.recall_made(key)) is not None}
        to_make = [job for key, job in by_key.items() if key not in known]
        made_now, problems = _make(to_make, memory, progress, executor)
        known |= made_now
        by_photo = {
            (job.photo.stock, job.photo.file): job.plan.picture(job.facts, made.placeholder, made.digest)
            for job in jobs
            if (made := known.get(job.plan.key)) is not None
        }
        pictures = Pictures(memory.pictures, by_photo)
        memory.sweep(pictures.files().keys())
        return pictures, problems


def make_share_pictures(
    cards: Mapping[str, ShareCard], pictures: Pictures, executor: Executor | None = None
) -> dict[str, Path]:
    """Return where each share picture is now, by its path in the site; what was drawn before is not drawn again.

    A few are drawn here, for workers take longer to come; many by the `executor`, or by all cores of this machine.
    """
    names = {file: share_picture_name(card) for file, card in cards.items()}
    with Memory(pictures.folder.parent) as memory:
        wanted = {names[file]: card for file, card in cards.items() if memory.recall_made(names[file]) is None}
        for name, drawn in _drawn(wanted, pictures, executor):
            memory.keep_made(name, Made("", ""), {name: drawn})
    return {file: pictures.folder / name for file, name in names.items()}


def _drawn(
    wanted: Mapping[str, ShareCard], pictures: Pictures, executor: Executor | None
) -> Iterator[tuple[str, bytes]]:
    if len(wanted) <= DRAWN_HERE:
        yield from ((name, draw_share_picture(card, _photo_of(card, pictures))) for name, card in wanted.items())
        return

    def submit(workers: Executor, task: tuple[str, ShareCard]) -> Future[bytes]:
        return workers.submit(draw_share_picture, task[1], _photo_of(task[1], pictures))

    tasks = [(task, MEGABYTES_A_DRAWING) for task in wanted.items()]
    with nullcontext(executor) if executor else LocalWorkers() as workers:
        yield from ((name, drawn) for (name, _), drawn in run_bounded(workers, submit, tasks))


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
    try:
        content = photo.path.read_bytes()
    except OSError as trouble:
        found = f"a photo that cannot be read ({trouble.strerror})"
        return Fault(found, "a photo that whoever builds may read", "check the file and its rights")
    judged = judge_photo(content, photo.file)
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
            wanted = store.settings.pictures
            plan = plan_pictures(judged, photo.covers, photo.is_close_up, photo.is_first, wanted)
            jobs.append(Job(photo, judged, plan))
    return jobs, tuple(problems)


def _make(
    jobs: list[Job], memory: Memory, progress: Progress, executor: Executor | None
) -> tuple[dict[str, Made], tuple[Problem, ...]]:
    """Make the pictures of some photos and keep them. Return what is known of each, by key, and what went wrong."""
    made: dict[str, Made] = {}
    problems: list[Problem] = []
    if not jobs:
        return made, ()
    weighed = [(job, job.facts.decoding_megabytes) for job in jobs]
    with nullcontext(executor) if executor else LocalWorkers() as workers:
        for done, (job, result) in enumerate(run_bounded(workers, _submit, weighed), start=1):
            if isinstance(result, Derived):
                digest = hashlib.sha256(result.pictures[job.plan.full.picture.name]).hexdigest()
                made[job.plan.key] = Made(result.placeholder, digest)
                memory.keep_made(job.plan.key, made[job.plan.key], result.pictures)
                memory.note_measures(job.facts.digest, result.measures)
            else:
                problems.append(job.photo.problem(result))
            progress(done, len(jobs), job.photo.shown_path)
    return made, tuple(problems)


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
