"""Checks of photos: each named file exists, each file is named, and marks and covers stay inside the picture."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from sitegen.reading.checks.named_files import NamedFolder
from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.disclosure import Box, DefectPhoto, Photo
from sitegen.records.problems import Problem, Severity
from sitegen.records.vehicle_record import VehicleRecord


def check_photo_names(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each photo that is missing, listed twice, or outside the vehicle's folder."""
    folder = NamedFolder(sheet.photos, "photo", "the vehicle's folder of photos")
    first: dict[tuple[KeyPath, str], KeyPath] = {}
    for path, photo in photos_of(sheet):
        file_path = (*path, "file")
        first_path = first.setdefault((path[:-1], photo.file), file_path)
        if first_path != file_path:
            found = f"{photo.file} again, first on line {sheet.marks.value_place(first_path).line}"
            yield sheet.marks.problem(file_path, "each photo once in a list", "delete one of the two", found=found)
        else:
            yield from folder.check(sheet.marks, file_path, photo.file)


def check_unused_photos(sheet: Sheet) -> Iterator[Problem]:
    """Yield a warning for each photo file that neither the first inspection nor a visit names."""
    if sheet.may_lack("photos", "defects"):
        return
    named = {*(photo.file for _, photo in photos_in(sheet.record)), *sheet.record.photos_ever()}
    folder = PurePosixPath(sheet.marks.file).parent / "photos"
    for file in sheet.photos:
        if file not in named:
            expected = "a photo that the inspection names"
            mend = "add it to the inspection, or take the file away"
            shown_as = (folder / file).as_posix()
            yield Problem(shown_as, 0, 0, "", "a photo that is not used", expected, mend, Severity.WARNING)


_ROUNDING = 1e-9


def check_marks(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each box (a cover or a mark) that extends beyond the right or lower edge of its photo."""
    for path, photo in photos_of(sheet):
        for place, box in enumerate(photo.cover):
            yield from _check_box(sheet, (*path, "cover", place), box)
        if isinstance(photo, DefectPhoto) and isinstance(photo.mark, Box):
            yield from _check_box(sheet, (*path, "mark"), photo.mark)


def photos_of(sheet: Sheet) -> Iterator[tuple[KeyPath, Photo]]:
    """Yield each entry that names a photo, first of the vehicle and then of its defects, with its path."""
    return photos_in(sheet.record)


def photos_in(record: VehicleRecord) -> Iterator[tuple[KeyPath, Photo]]:
    """Yield each entry of a record that names a photo, of the vehicle and then of its defects, with its path."""
    for place, photo in enumerate(record.photos):
        yield ("photos", place), photo
    for number, defect in enumerate(record.defects):
        for place, close_up in enumerate(defect.photos):
            yield ("defects", number, "photos", place), close_up


def _check_box(sheet: Sheet, path: KeyPath, box: Box) -> Iterator[Problem]:
    for start, size, name, begin in ((box.x, box.w, "w", "x"), (box.y, box.h, "h", "y")):
        if start + size > 1 + _ROUNDING:
            edge = "right" if name == "w" else "lower"
            expected = f"at most {1 - start:.3g}, so that the box ends at the {edge} edge of the photo"
            yield sheet.marks.problem((*path, name), expected, f"make {name} smaller, or mend {begin}")
