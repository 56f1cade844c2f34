"""Do the words beside a photo say what it shows, for those who cannot see it? Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import PurePosixPath

from sitegen.photos.opening.limits import PhotoLimits
from sitegen.records.disclosure import Photo
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store
from sitegen.records.vehicle_record import VehicleRecord

_EXPECTED = "what the photo shows, in a few words"
_MEND = "write what somebody would see, such as: Rust along the lip of the wheel arch."


def description_warnings(store: Store, limits: PhotoLimits) -> Iterator[Problem]:
    """Yield a warning for each text beside a photo that is no description, in whatever language it is."""
    for vehicle in store.vehicles:
        for where, photo in _mentions(vehicle.record):
            for text in photo.shows.versions.values():
                if not is_description(text, photo.file, limits):
                    found = f'"{text}", which says little'
                    place = (vehicle.inspection_file, 0, 0, f"{where}.shows")
                    yield Problem(*place, found, _EXPECTED, _MEND, Severity.WARNING)


def is_description(text: str, file: str, limits: PhotoLimits) -> bool:
    """Return whether a text says something of its own: not the file's name, nor only numbers and empty words.

    Of "Photo 1 of the car" nothing is left; "Rust on the sill" leaves rust, on and sill.
    """
    if text.strip().casefold() in (file.casefold(), PurePosixPath(file).stem.casefold()):
        return False
    words = re.findall(r"[^\W_]+(?:[-'’][^\W_]+)*", text)
    telling = [word for word in words if word.casefold() not in limits.empty_words and not re.search(r"\d", word)]
    return bool(telling) and len(words) >= limits.warn.words_at_least


def _mentions(record: VehicleRecord) -> Iterator[tuple[str, Photo]]:
    for number, photo in enumerate(record.photos, start=1):
        yield f"photos[{number}]", photo
    for of_defect, defect in enumerate(record.defects, start=1):
        for number, photo in enumerate(defect.photos, start=1):
            yield f"defects[{of_defect}].photos[{number}]", photo
