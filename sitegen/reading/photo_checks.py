"""Photos that a record names, and files in its folder of photos: each should be the other's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from sitegen.reading.mark_checks import photos_of
from sitegen.reading.named_files import NamedFolder
from sitegen.reading.sheets import Sheet
from sitegen.reading.tree import Path
from sitegen.records.problems import Problem, Severity


def check_photo_names(sheet: Sheet) -> Iterator[Problem]:
    """Yield photos that are not there, are named twice in one list, or lead out of the vehicle's folder."""
    folder = NamedFolder(sheet.photos, "photo", "the vehicle's folder of photos")
    first: dict[tuple[Path, str], Path] = {}
    for path, photo in photos_of(sheet):
        at = (*path, "file")
        before = first.setdefault((path[:-1], photo.file), at)
        if before != at:
            found = f"{photo.file} again, first on line {sheet.marks.value_place(before).line}"
            yield sheet.marks.problem(at, "each photo once in a list", "delete one of the two", found=found)
        else:
            yield from folder.check(sheet.marks, at, photo.file)


def check_unused_photos(sheet: Sheet) -> Iterator[Problem]:
    """Yield a warning for each photo that the record does not name."""
    named = {photo.file for _, photo in photos_of(sheet)}
    folder = PurePosixPath(sheet.marks.file).parent / "photos"
    for file in sheet.photos:
        if file not in named:
            expected = "a photo that the inspection names"
            mend = "add it to the inspection, or take the file away"
            shown_as = (folder / file).as_posix()
            yield Problem(shown_as, 0, 0, "", "a photo that is not used", expected, mend, Severity.WARNING)
