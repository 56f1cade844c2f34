"""Locate the photo files that records name, with the regions to cover in each. Refuses paths outside the folder."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
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
"""Name of the photo folder inside a vehicle's folder."""
EXPECTED = f"a photo in the vehicle's {PHOTOS} folder"


@dataclass(frozen=True)
class NamedPhoto:
    """A photo file that a record names. There is one for each file, however often the record names it."""

    stock: str
    file: str
    """The path as the record writes it."""
    folder: Path
    """The vehicle's folder of photos."""
    shown_path: str
    """Relative to the store's folder, for messages."""
    covers: tuple[Box, ...]
    is_close_up: bool
    """Whether a defect uses it as a close-up."""
    is_first: bool = False
    """Whether it is the first photo of the vehicle's page."""

    @property
    def path(self) -> Path:
        """The file's path. It may not exist: `misplaced` checks it."""
        return self.folder / self.file

    @property
    def path_fault(self) -> Fault | None:
        """The fault of a path that is absolute or leads out of the vehicle's folder. None for any other path."""
        file = PurePosixPath(self.file)
        if not (file.is_absolute() or ".." in file.parts or "\\" in self.file or ":" in self.file):
            return None
        name = re.split(r"[/\\:]", self.file)[-1]
        mend = f"copy the photo there, and write only {name}"
        return Fault("a path that leaves the vehicle's folder", EXPECTED, mend)

    def problem(self, fault: Fault) -> Problem:
        """Return a fault of this photo as a Problem at the photo's path."""
        return Problem(self.shown_path, 0, 0, "", fault.found, fault.expected, fault.mend)


def named_photos(store: Store) -> tuple[NamedPhoto, ...]:
    """Return the photo files that a store's records name, by vehicle, each in the order of its first mention."""
    return tuple(photo for vehicle in store.vehicles for photo in _photos_of(vehicle))


def photos_in(vehicle: StoredVehicle) -> tuple[Photo, ...]:
    """Return every mention of a photo in a record: those of the vehicle, then those of its defects."""
    record = vehicle.record
    return (*record.photos, *(photo for defect in record.defects for photo in defect.photos))


def misplaced(folder: Path, parts: Sequence[str]) -> Fault | None:
    """Return the fault that forbids reading a photo at a path below the folder of photos, or None.

    Faults are: no such file, not a regular file, or a link.
    """
    try:
        for count in range(len(parts) + 1):
            status = folder.joinpath(*parts[:count]).lstat()
            if S_ISLNK(status.st_mode):
                return Fault("a link to another place", EXPECTED, "put the photo itself there instead of the link")
    except (FileNotFoundError, NotADirectoryError):
        return Fault("no such photo", EXPECTED, "copy the photo there, or mend its name in the record")
    if not S_ISREG(status.st_mode):
        kind = "a folder" if S_ISDIR(status.st_mode) else "a pipe or a device"
        return Fault(f"{kind} of this name", EXPECTED, "put the photo itself there")
    return None


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
