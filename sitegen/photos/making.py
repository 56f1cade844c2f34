"""Makes the pictures of every photo that a store's records name, and makes none of them twice.

First every photo is judged by its header; if one cannot be used, nothing is made. Then those without pictures in the
cache go to the workers, one photo at a time each, and their pictures are kept as they come.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from sitegen.engine.workers import LocalWorkers, run_bounded
from sitegen.photos.deriving.deriving import Derived, derive
from sitegen.photos.deriving.share_picture import ShareCard, draw_share_picture, share_picture_name
from sitegen.photos.memory import Made, Memory
from sitegen.photos.opening.finding import NamedPhoto, find, named_photos
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.photos.planning.pictures import Pictures
from sitegen.photos.planning.planning import PhotoFacts, Plan, plan_pictures
from sitegen.records.problems import Problem
from sitegen.records.store import PictureSettings, Store

Result = TypeVar("Result")
Progress = Callable[[int, int, str], None]
"""Is told how many photos are done, of how many to make, and the last one's path in the store."""

DRAWN_HERE = 12
"""So many share pictures are drawn in the time that it takes to start workers."""
JUDGED_HERE = 300
"""So many photos of some megabytes are judged in the time that it takes workers to begin."""
AT_ONCE = 50
"""Photos given to a worker at a time, to be judged."""
MEGABYTES_A_PHOTO = 100.0
"""What the bytes of one photo take, at most, about."""
MEGABYTES_A_DRAWING = 20.0
"""What drawing one takes, at most, about: its photo of 1600 x 1200 and itself, each decoded."""


@dataclass(frozen=True)
class JudgedPhoto:
    """A photo that can be used."""

    photo: NamedPhoto
    facts: PhotoFacts

    def job(self, wanted: PictureSettings) -> Job:
        """Return the work on its pictures."""
        photo = self.photo
        plan = plan_pictures(self.facts, photo.covers, photo.is_close_up, photo.is_first, wanted)
        return Job(photo, self.facts, plan)


@dataclass(frozen=True)
class Job:
    """A photo whose pictures are wanted."""

    photo: NamedPhoto
    facts: PhotoFacts
    plan: Plan


def make_pictures(
    store: Store,
    cache: Path,
    progress: Progress,
    executor: Executor | None = None,
    near: Executor | None = None,
) -> tuple[Pictures, tuple[Problem, ...]]:
    """Return the pictures of a store's photos, and the problems of those that cannot be used.

    `cache` is the store's `.cache` folder. Without an `executor`, all cores of this machine work. Many photos are
    judged by workers that are `near`, where the photos are.
    """
    with Memory(cache) as memory:
        judged, problems = judge_all(store, memory, near)
        if problems:
            return Pictures(memory.pictures, {}), problems
        jobs = [each.job(store.settings.pictures) for each in judged]
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


def judge_all(
    store: Store, memory: Memory, near: Executor | None = None, judged_here: int = JUDGED_HERE
) -> tuple[list[JudgedPhoto], tuple[Problem, ...]]:
    """Return every photo that can be used, and the problems of those that cannot.

    More than `judged_here` that were never judged before are judged by the workers that are `near`.
    """
    named = named_photos(store)
    known: dict[str, PhotoFacts | Fault] = {}
    noted = memory.noted_photos()
    new = [photo for photo in named if photo.shown_path not in noted]
    if near is not None and len(new) > judged_here:
        batches = (new[start : start + AT_ONCE] for start in range(0, len(new), AT_ONCE))
        for batch, judged in run_bounded(near, _submit_to_judge, ((batch, MEGABYTES_A_PHOTO) for batch in batches)):
            known.update(_noted(batch, judged, memory))
    usable: list[JudgedPhoto] = []
    problems: list[Problem] = []
    for photo in named:
        facts = known.get(photo.shown_path) or _judge_again(photo, memory)
        if isinstance(facts, Fault):
            problems.append(photo.problem(facts))
        else:
            usable.append(JudgedPhoto(photo, facts))
    return usable, tuple(problems)


def _submit_to_judge(near: Executor, photos: Sequence[NamedPhoto]) -> Future[list[_Judged | Fault]]:
    return near.submit(_judge_batch, photos)


def _judge_batch(photos: Sequence[NamedPhoto]) -> list[_Judged | Fault]:
    """Judge some photos: what a worker does."""
    return [_judge(photo) for photo in photos]


_Judged = tuple[os.stat_result, PhotoFacts]
"""The status of a photo's file before it was read, and what is known of the photo before decoding it."""


def _judge(photo: NamedPhoto) -> _Judged | Fault:
    status = find(photo)
    if isinstance(status, Fault):
        return status
    try:
        content = photo.path.read_bytes()
    except OSError as trouble:
        found = f"a photo that cannot be read ({trouble.strerror})"
        return Fault(found, "a photo that whoever builds may read", "check the file and its rights")
    facts = judge_photo(content, photo.file)
    return facts if isinstance(facts, Fault) else (status, facts)


def _judge_again(photo: NamedPhoto, memory: Memory) -> PhotoFacts | Fault:
    """Return what is known of a photo, read from its file only if that has changed."""
    status = find(photo)
    if isinstance(status, Fault):
        return status
    known = memory.recall_photo(photo.shown_path, status)
    return known or _noted([photo], [_judge(photo)], memory)[photo.shown_path]


def _noted(
    photos: Sequence[NamedPhoto], judged: Sequence[_Judged | Fault], memory: Memory
) -> dict[str, PhotoFacts | Fault]:
    """Note what is known of photos that were judged, and return it by their paths."""
    both = [(photo.shown_path, each) for photo, each in zip(photos, judged, strict=True)]
    memory.note_photos((path, *each) for path, each in both if not isinstance(each, Fault))
    return {path: each if isinstance(each, Fault) else each[1] for path, each in both}


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
