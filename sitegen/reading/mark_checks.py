"""Marks and covers that reach beyond the picture. That each place lies inside it is held by their types."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.reading.sheets import Sheet
from sitegen.reading.tree import Path
from sitegen.records.disclosure import Box, DefectPhoto, Photo
from sitegen.records.problems import Problem

_ROUNDING = 1e-9


def check_marks(sheet: Sheet) -> Iterator[Problem]:
    """Yield the width or height that takes a box over the right or lower edge."""
    for path, photo in photos_of(sheet):
        for place, box in enumerate(photo.cover):
            yield from _check_box(sheet, (*path, "cover", place), box)
        if isinstance(photo, DefectPhoto) and isinstance(photo.mark, Box):
            yield from _check_box(sheet, (*path, "mark"), photo.mark)


def photos_of(sheet: Sheet) -> Iterator[tuple[Path, Photo]]:
    """Yield every mention of a photo, of the vehicle and then of its defects, with its path."""
    for place, photo in enumerate(sheet.record.photos):
        yield ("photos", place), photo
    for number, defect in enumerate(sheet.record.defects):
        for place, close_up in enumerate(defect.photos):
            yield ("defects", number, "photos", place), close_up


def _check_box(sheet: Sheet, path: Path, box: Box) -> Iterator[Problem]:
    for start, size, name, begin in ((box.x, box.w, "w", "x"), (box.y, box.h, "h", "y")):
        if start + size > 1 + _ROUNDING:
            edge = "right" if name == "w" else "lower"
            expected = f"at most {1 - start:.3g}, so that the box ends at the {edge} edge of the photo"
            yield sheet.marks.problem((*path, name), expected, f"make {name} smaller, or mend {begin}")
