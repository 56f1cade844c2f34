"""The accepted layouts of a zip: a whole vehicle or a visit as the staff's pages save it, or photos alone. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import PurePosixPath

from sitegen.intake.zips.photo_copies import ENDINGS
from sitegen.intake.zips.unpacking import shown
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.reading.video.film_files import FOLDER as FILM
from sitegen.reading.visits import VISITS
from sitegen.records.vehicle_record import RESERVED

PHOTOS = "photos"
"""Name of the photos folder, in a zip and in a vehicle's folder."""
_CLIP = re.compile(r"film/[A-Za-z0-9]+([-_.][A-Za-z0-9]+)*\.(mov|mp4|m4v|3gp|webm|mkv|vtt)", re.ASCII | re.IGNORECASE)
_PHOTO = re.compile(r"photos/[A-Za-z0-9]+([-_.][A-Za-z0-9]+)*\.(jpe?g|png|hei[cf]|webp)", re.ASCII | re.IGNORECASE)
_OF_A_VISIT = re.compile(
    r"(vehicles/[A-Za-z0-9]+(-[A-Za-z0-9]+)*/)(visits/\d{4}-\d{2}-\d{2}(-\d{4})?\.yaml|(photos|film)/.+)", re.ASCII
)
MOST_PHOTOS = 200


def vehicle_places(names: Sequence[str]) -> tuple[Mapping[str, str], list[str]]:
    """Return the target path of each file in a vehicle's zip (unchanged), and the errors of its contents."""
    files = [name for name in names if not name.endswith("/")]
    folders = {match[1] for name in files if (match := _OF_A_VISIT.fullmatch(name))}
    top = folders.pop() if len(folders) == 1 and all(_OF_A_VISIT.fullmatch(name) for name in files) else ""
    own = [name.removeprefix(top) for name in files]
    faults = [
        f"{shown(name)} does not belong in such a zip"
        for name in (*own, *(name for name in names if name.endswith("/") and not top))
        if not _is_of_vehicle(name, is_visit=bool(top))
    ]
    if faults:
        faults.append(
            f"expected {INSPECTION}, photos/ and film/ with plain names: letters and digits, parted by single "
            "hyphens, underscores or dots, ending in .jpg, .jpeg, .png, .heic, .heif or .webp; for a film in .mov, "
            ".mp4, .m4v, .3gp, .webm, .mkv or .vtt"
        )
    visits = sum(name.startswith(f"{VISITS}/") for name in own)
    if top and visits != 1:
        faults.append(f"it holds {visits} visits; save one at a time from the bay page")
    elif not top and INSPECTION not in names:
        faults.append(
            f"it holds no {INSPECTION}: save it from the bay page, or pack the inside of the vehicle's folder"
        )
    photos = sum(1 for name in own if _PHOTO.fullmatch(name))
    if photos > MOST_PHOTOS:
        faults.append(f"it holds {photos} photos; at most {MOST_PHOTOS} are taken")
    return {name: name for name in files}, faults


def photo_places(names: Sequence[str]) -> tuple[Mapping[str, str], list[str]]:
    """Return a numbered target name for each photo in a zip of photos, and the errors of its contents.

    Photos may be in subfolders. Files that operating systems add are skipped.
    """
    wanted = sorted(name for name in names if not name.endswith("/") and not _is_system_file(name))
    faults = [f"{shown(name)} is no photo" for name in wanted if _ending(name) not in ENDINGS]
    if not wanted:
        faults.append("it holds no photo")
    if len(wanted) > MOST_PHOTOS:
        faults.append(f"it holds {len(wanted)} photos; at most {MOST_PHOTOS} are taken")
    return {name: f"{number:04}{_ending(name)}" for number, name in enumerate(wanted)}, faults


def _is_of_vehicle(name: str, *, is_visit: bool) -> bool:
    if name in (INSPECTION, f"{PHOTOS}/", f"{FILM}/") and not is_visit:
        return True
    if is_visit and name.startswith(f"{VISITS}/"):
        return True
    first = name.rpartition("/")[2].split(".")[0]
    return (
        bool(_PHOTO.fullmatch(name) or _CLIP.fullmatch(name)) and not RESERVED.fullmatch(first) and len(name) <= 107
    )


def _is_system_file(name: str) -> bool:
    parts = PurePosixPath(name).parts
    return name.startswith("__MACOSX/") or any(part.startswith(".") for part in parts) or parts[-1] == "Thumbs.db"


def _ending(name: str) -> str:
    return PurePosixPath(name).suffix.lower()
