"""Where the photos that records name are, and what is to be covered in each. Refuses to leave a vehicle's folder."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from stat import S_ISDIR, S_ISLNK, S_ISREG

from sitegen.photos.opening.limits import photo_limits
from sitegen.photos.opening.opening import Fault
from sitegen.photos.opening.showing import is_close_up
from sitegen.records.disclosure import Box, Photo
from sitegen.records.problems import Problem
from sitegen.records.store import Store, StoredVehicle

PHOTOS = "photos"
"""Name of the folder in a vehicle's folder."""


@dataclass(frozen=True)
class NamedPhoto:
    """A photo that a record names, once for each file, wherever and however often the record names it."""

    stock: str
    file: str
    """As the record has it."""
    folder: Path
    """The vehicle's folder of photos."""
    shown_path: str
    """Relative to the store's folder, for messages."""
    covers: tuple[Box, ...]
    is_close_up: bool
    """Whether it proves a defect, as a photo from near does."""
    is_first: bool = False
    """Whether it opens the vehicle's page."""

    @property
    def path(self) -> Path:
        """Where the photo's file is said to be."""
        return self.folder / self.file

    def problem(self, fault: Fault) -> Problem:
        """Return the problem of a photo that cannot be used."""
        return Problem(self.shown_path, 0, 0, "", fault.found, fault.expected, fault.mend)


def named_photos(store: Store) -> tuple[NamedPhoto, ...]:
    """List the photos that the records of a store name, by vehicle, in the order in which they are first named."""
    return tuple(photo for vehicle in store.vehicles for photo in _photos_of(vehicle))


def photos_in(vehicle: StoredVehicle) -> tuple[Photo, ...]:
    """Return every mention of a photo in a record: of the vehicle, then of its defects."""
    record = vehicle.record
    return (*record.photos, *(photo for defect in record.defects for photo in defect.photos))


def find(photo: NamedPhoto) -> os.stat_result | Fault:
    """Return the status of a photo's file, or why it may not be read.

    It is not there, or the way to it leaves the vehicle's folder.
    """
    expected = f"a photo in the vehicle's {PHOTOS} folder"
    file = PurePosixPath(photo.file)
    name = re.split(r"[/\\:]", photo.file)[-1]
    if file.is_absolute() or ".." in file.parts or "\\" in photo.file or ":" in photo.file:
        return Fault(
            "a path that leaves the vehicle's folder", expected, f"copy the photo there, and write only {name}"
        )
    try:
        for count in range(len(file.parts) + 1):
            status = photo.folder.joinpath(*file.parts[:count]).lstat()
            if S_ISLNK(status.st_mode):
                return Fault("a link to another place", expected, "put the photo itself there instead of the link")
    except (FileNotFoundError, NotADirectoryError):
        return Fault("no such photo", expected, "copy the photo there, or mend its name in the record")
    if not S_ISREG(status.st_mode):
        kind = "a folder" if S_ISDIR(status.st_mode) else "a pipe or a device"
        return Fault(f"{kind} of this name", expected, "put the photo itself there")
    return status


def _photos_of(vehicle: StoredVehicle) -> Iterable[NamedPhoto]:
    covers: dict[str, list[Box]] = {}
    close_from = photo_limits().warn.close_up_mark_from
    of_defects = [photo for defect in vehicle.record.defects for photo in defect.photos]
    close_ups = {photo.file for photo in of_defects if is_close_up(photo, close_from)}
    first = next((photo.file for photo in vehicle.record.photos), None)
    for mention in photos_in(vehicle):
        covers.setdefault(mention.file, []).extend(mention.cover)
    folder, shown_folder = vehicle.folder / PHOTOS, PurePosixPath(vehicle.inspection_file).parent / PHOTOS
    for file, regions in covers.items():
        shown = (shown_folder / file).as_posix()
        yield NamedPhoto(vehicle.record.stock, file, folder, shown, tuple(regions), file in close_ups, file == first)
