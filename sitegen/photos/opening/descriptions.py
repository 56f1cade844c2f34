"""Warn of photo captions that do not describe the photo for readers who cannot see it. Pure."""

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
    """Yield a warning for each caption, in each of its languages, that is not a description."""
    for vehicle in store.vehicles:
        for where, photo in _mentions(vehicle.record):
            for text in photo.shows.versions.values():
                if not is_description(text, photo.file, limits):
                    found = f'"{text}", which says little'
                    place = (vehicle.inspection_file, 0, 0, f"{where}.shows")
                    yield Problem(*place, found, _EXPECTED, _MEND, Severity.WARNING)


def is_description(text: str, file: str, limits: PhotoLimits) -> bool:
    """Return whether a text has enough words, and says more than the file's name, numbers and empty words.

    "Photo 1 of the car" has only empty words; "Rust on the sill" has the meaningful words rust, on and sill.
    """
    if text.strip().casefold() in (file.casefold(), PurePosixPath(file).stem.casefold()):
        return False
    words = re.findall(r"[^\W_]+(?:[-'’][^\W_]+)*", text)
    meaningful = [word for word in words if word.casefold() not in limits.empty_words and not re.search(r"\d", word)]
    return bool(meaningful) and len(words) >= limits.warn.words_at_least


def _mentions(record: VehicleRecord) -> Iterator[tuple[str, Photo]]:
    for number, photo in enumerate(record.photos, start=1):
        yield f"photos[{number}]", photo
    for of_defect, defect in enumerate(record.defects, start=1):
        for number, photo in enumerate(defect.photos, start=1):
            yield f"defects[{of_defect}].photos[{number}]", photo
