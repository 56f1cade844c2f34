"""Warnings about a store's photos. None of them stops a build.

They name photos that are dark, blurred, small, nearly the same as another, or used for another vehicle too; defects
without a close-up or without a photo of their place; captions that describe nothing; and cards that give no size.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby, islice
from statistics import median

from sitegen.engine.engine import Engine
from sitegen.engine.mapping import HERE, Executors
from sitegen.photos.card.card_warnings import card_warnings
from sitegen.photos.deriving.measuring import Measures, bits_apart
from sitegen.photos.making import derive_all, judge_all
from sitegen.photos.opening.descriptions import description_warnings
from sitegen.photos.opening.finding import NamedPhoto
from sitegen.photos.opening.limits import Warn, photo_limits
from sitegen.photos.opening.showing import showing_warnings
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store

MOST_NAMED = 3
"""A warning names at most this many other files with the same bytes: a placeholder picture may be in every folder."""


@dataclass(frozen=True)
class SeenPhoto:
    """A usable photo with its size in pixels and its measures."""

    photo: NamedPhoto
    digest: str
    width: int
    height: int
    measures: Measures


def warnings_about(store: Store, engine: Engine, executors: Executors = HERE) -> tuple[Problem, ...]:
    """Return the warnings about a store's photos.

    Photos that cannot be used are skipped: they are problems already.
    """
    limits = photo_limits()
    seen = _measured(store, engine, executors)
    return (
        *_dark(seen, limits.warn),
        *_blurred(seen, limits.warn),
        *_small(seen, store, limits.warn),
        *_alike(seen, limits.warn),
        *_shared(seen),
        *showing_warnings(store, limits),
        *description_warnings(store, limits),
        *card_warnings(store, {(it.photo.stock, it.photo.file): (it.width, it.height) for it in seen}, limits.card),
    )


def _measured(store: Store, engine: Engine, executors: Executors) -> list[SeenPhoto]:
    """Return every usable photo with its measures, which belong to the result of its pictures."""
    judged, _ = judge_all(store, engine, executors)
    return [
        SeenPhoto(each.photo, each.facts.digest, each.facts.width, each.facts.height, derived.measures)
        for each, _, derived in derive_all(judged, store.settings.pictures, engine, executors=executors)
        if not isinstance(derived, Problem)
    ]


def _dark(seen: Iterable[SeenPhoto], limits: Warn) -> Iterator[Problem]:
    for each in seen:
        if each.measures.brightness < limits.darker_than:
            found = f"a photo too dark to see much (mean brightness {each.measures.brightness:.0f} of 255)"
            expected = f"a brightness of {limits.darker_than:g} or more"
            yield _warning(each, found, expected, "take it again in daylight, or with a light")


def _blurred(seen: list[SeenPhoto], limits: Warn) -> Iterator[Problem]:
    if len(seen) < limits.sharpness_needs_photos:
        return
    usual = median(each.measures.sharpness for each in seen)
    for each in seen:
        if each.measures.sharpness < limits.sharpness_under_share * usual:
            mend = "take it again: tap what should be sharp, and hold still"
            yield _warning(each, "a blurred photo", "one as sharp as the store's others", mend)


def _small(seen: Iterable[SeenPhoto], store: Store, limits: Warn) -> Iterator[Problem]:
    first = {(v.record.stock, v.record.photos[0].file) for v in store.vehicles if v.record.photos}
    of_defects = {
        (v.record.stock, photo.file) for v in store.vehicles for defect in v.record.defects for photo in defect.photos
    }
    for each in seen:
        key = (each.photo.stock, each.photo.file)
        if key in first:
            wanted, slot = limits.first_photo_narrower_than, "the first photo of a vehicle"
        elif key in of_defects:
            wanted, slot = limits.close_photo_narrower_than, "a photo of a defect"
        else:
            wanted, slot = limits.other_photo_narrower_than, "a photo"
        if each.width < wanted:
            mend = "copy the original from the phone: messages often carry a smaller one"
            yield _warning(each, f"a photo {each.width} pixels wide", f"{wanted} or more for {slot}", mend)


def _alike(seen: Iterable[SeenPhoto], limits: Warn) -> Iterator[Problem]:
    for _, group in groupby(seen, key=lambda each: each.photo.stock):
        earlier: list[SeenPhoto] = []
        for each in group:
            for other in earlier:
                if bits_apart(each.measures.likeness, other.measures.likeness) <= limits.likeness_within_bits:
                    found = f"nearly the same photo as {other.photo.file}"
                    yield _warning(each, found, "each photo to show something else", "keep the better one of the two")
                    break
            earlier.append(each)


def _shared(seen: Iterable[SeenPhoto]) -> Iterator[Problem]:
    """Yield a warning for each photo whose bytes are a photo of another vehicle too: perhaps a folder was copied."""
    by_digest: dict[str, list[SeenPhoto]] = defaultdict(list)
    for each in seen:
        by_digest[each.digest].append(each)
    for same in by_digest.values():
        there = sorted({(each.photo.shown_path, each.photo.stock) for each in same})
        of_stock = Counter(stock for _, stock in there)
        for each in same:
            # The others are not listed in full for each photo: one picture may be in ten thousand folders.
            others = (path for path, stock in there if stock != each.photo.stock)
            named, count = list(islice(others, MOST_NAMED)), len(there) - of_stock[each.photo.stock]
            if named:
                more = [f"{count - MOST_NAMED:,} more"] if count > MOST_NAMED else []
                found = f"the same file as {' and '.join([*named, *more])}"
                yield _warning(each, found, "a photo of this vehicle", "delete it where another vehicle is shown")


def _warning(each: SeenPhoto, found: str, expected: str, mend: str) -> Problem:
    return Problem(each.photo.shown_path, 0, 0, "", found, expected, mend, Severity.WARNING)
