"""Warn of defects that lack a close-up, by which they are judged, or a context photo, by which they are found.

Pure.
"""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.photos.opening.limits import PhotoLimits
from sitegen.records.disclosure import Arrow, Box, Circle, Defect, DefectPhoto
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store


def showing_warnings(store: Store, limits: PhotoLimits) -> Iterator[Problem]:
    """Yield a warning for each defect that lacks a close-up, a context photo, or both."""
    for vehicle in store.vehicles:
        for number, defect in enumerate(vehicle.record.defects, start=1):
            if defect.kind not in limits.not_for_the_eye:
                where = f"defects[{number}].photos"
                for found, expected, mend in _lacking(defect, limits.warn.close_up_mark_from):
                    yield Problem(vehicle.inspection_file, 0, 0, where, found, expected, mend, Severity.WARNING)


def _lacking(defect: Defect, close_from: float) -> Iterator[tuple[str, str, str]]:
    """Yield the texts (found, expected, mend) of each kind of photo that a defect lacks."""
    if not defect.photos:
        yield "a defect without a photo", "a close-up, and a photo that shows its place", "photograph it near and far"
    elif len(defect.photos) == 1:
        if is_close_up(defect.photos[0], close_from):
            expected = "a photo of its surroundings too"
            yield (
                "a defect without a context photo",
                expected,
                "step back two paces, and mark the place there",
            )
        else:
            yield "a defect without a close-up", "a photo in which it can be judged", "photograph it from a foot away"
    elif all(photo.mark and not is_close_up(photo, close_from) for photo in defect.photos):
        yield "a defect without a close-up", "a photo in which it can be judged", "photograph it from a foot away"


def is_close_up(photo: DefectPhoto, close_from: float) -> bool:
    """Return whether a photo is a close-up: its mark has at least half the width `close_from`, or it has no mark."""
    match photo.mark:
        case Circle(r=radius):
            return radius >= close_from
        case Box(w=width, h=height):
            return max(width, height) / 2 >= close_from
        case Arrow() | None:
            return True
