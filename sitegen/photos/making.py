"""Bring the pictures of every photo that a store's records name up to date.

First every photo is judged by its header; if one cannot be used, no picture is made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from sitegen.engine.engine import Engine
from sitegen.engine.errors import ChangedFileError
from sitegen.engine.mapping import HERE, Executors, Progress, map_task
from sitegen.photos.deriving.share_picture import ShareCard
from sitegen.photos.opening.finding import NamedPhoto, named_photos
from sitegen.photos.opening.opening import Fault
from sitegen.photos.planning.pictures import Pictures
from sitegen.photos.planning.planning import PhotoFacts, possible_widths
from sitegen.photos.tasks import (
    DerivedPictures,
    PictureRequest,
    derived_pictures,
    photo_facts,
    share_picture,
    share_picture_key,
)
from sitegen.records.problems import Problem, unexpected_problem
from sitegen.records.store import PictureSettings, Store


@dataclass(frozen=True)
class JudgedPhoto:
    """A photo that can be used."""

    photo: NamedPhoto
    facts: PhotoFacts

    def request(self, wanted: PictureSettings) -> PictureRequest:
        """Return the request for its pictures."""
        widths = possible_widths(self.facts, self.photo.is_first, wanted)
        return PictureRequest(self.facts, self.photo.covers, self.photo.is_close_up, widths, wanted.formats)


def make_pictures(
    store: Store, engine: Engine, progress: Progress = lambda *_: None, executors: Executors = HERE
) -> tuple[Pictures, tuple[Problem, ...]]:
    """Return the pictures of a store's photos, and the problems of those that cannot be used.

    `progress` receives the photo's path in the store.
    """
    judged, problems = judge_all(store, engine, executors)
    if problems:
        return Pictures(engine.store.files, {}), problems
    by_photo, faults = {}, []
    for each, request, derived in derive_all(judged, store.settings.pictures, engine, progress, executors):
        if isinstance(derived, Problem):
            faults.append(derived)
        else:
            picture = request.plan.picture(each.facts, derived.placeholder, derived.digests)
            by_photo[each.photo.stock, each.photo.file] = picture
    return Pictures(engine.store.files, by_photo), tuple(faults)


def derive_all(
    judged: list[JudgedPhoto],
    wanted: PictureSettings,
    engine: Engine,
    progress: Progress = lambda *_: None,
    executors: Executors = HERE,
) -> Iterator[tuple[JudgedPhoto, PictureRequest, DerivedPictures | Problem]]:
    """Yield each photo with its pictures, or with the problem why there are none."""
    photos = [(each, request, request.key) for each in judged for request in [each.request(wanted)]]
    first = {key: each for each, _, key in reversed(photos)}
    engine.sources |= {each.facts.digest: each.photo.path for each in first.values()}
    failed: dict[str, Exception] = {}
    map_task(
        engine,
        derived_pictures,
        [key for _, _, key in photos],
        executors,
        failed.__setitem__,
        lambda done, count, key: progress(done, count, first[key].photo.shown_path),
        lambda key: first[key].facts.decoding_megabytes,
    )
    for each, request, key in photos:
        derived = None if key in failed else engine.result(derived_pictures, key)
        if derived is None:
            yield each, request, _problem_of_exception(each.photo, failed[key])
        else:
            yield each, request, each.photo.problem(derived) if isinstance(derived, Fault) else derived


def judge_all(
    store: Store, engine: Engine, executors: Executors = HERE
) -> tuple[list[JudgedPhoto], tuple[Problem, ...]]:
    """Return every photo that can be used, and the problems of those that cannot."""
    named = named_photos(store)
    failed: dict[str, Exception] = {}
    paths = [photo.shown_path for photo in named if photo.path_fault is None]
    map_task(engine, photo_facts, paths, executors, failed.__setitem__)
    usable, problems = list[JudgedPhoto](), list[Problem]()
    for photo in named:
        if photo.shown_path in failed:
            problems.append(_problem_of_exception(photo, failed[photo.shown_path]))
            continue
        facts = photo.path_fault or engine.result(photo_facts, photo.shown_path)
        if isinstance(facts, Fault):
            problems.append(photo.problem(facts))
        else:
            usable.append(JudgedPhoto(photo, facts))
    return usable, tuple(problems)


def _problem_of_exception(photo: NamedPhoto, fault: Exception) -> Problem:
    if isinstance(fault, ChangedFileError):
        return photo.problem(Fault("a photo that changed while it was read", "a photo at rest", "build again"))
    return unexpected_problem(photo.shown_path, fault)


def make_share_pictures(
    cards: Mapping[str, ShareCard], engine: Engine, executors: Executors = HERE
) -> dict[str, Path]:
    """Return the file of each share picture, by its path in the site."""
    keys = {file: share_picture_key(card) for file, card in cards.items()}
    missing = [card for file, card in cards.items() if not engine.is_valid(share_picture, keys[file])]
    for font in {card.style.font for card in missing}:
        digest = engine.keep(font)
        engine.sources[digest] = engine.store.files / digest
    for card in missing:
        if card.photo is not None:
            engine.sources[card.photo.digest] = engine.store.files / card.photo.digest
    map_task(engine, share_picture, keys.values(), executors)
    return {file: engine.store.files / engine.result(share_picture, key).decode() for file, key in keys.items()}
