"""Copy photos from a phone: find them, sort them by time taken, and number them."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

from PIL import Image, UnidentifiedImageError
from pillow_heif import register_heif_opener

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".avif", ".heic", ".heif")
_CAMERA_GROUP, _TAKEN_AT = 0x8769, 0x9003
"""Exif 2.32: the Exif IFD, and its tag DateTimeOriginal (2026:10:04 09:15:00)."""

register_heif_opener()


def photos_in(folder: Path) -> list[Path]:
    """Return the photos in a folder by time taken. Photos without a time come last, by name."""
    photos = [path for path in folder.iterdir() if path.suffix.lower() in ENDINGS and path.is_file()]
    return sorted(photos, key=lambda path: (*_taken_at(path), path.name))


def plain_names(photos: Sequence[Path]) -> list[str]:
    """Return numbered names: photo-01.jpg, photo-02.jpg, ..."""
    digits = max(2, len(str(len(photos))))
    return [f"photo-{number:0{digits}}{path.suffix.lower()}" for number, path in enumerate(photos, 1)]


def copy_photos(photos: Sequence[Path], folder: Path) -> list[str]:
    """Copy photos unchanged into a new folder, and return their new names."""
    folder.mkdir()
    names = plain_names(photos)
    for photo, name in zip(photos, names, strict=True):
        shutil.copyfile(photo, folder / name)
    return names


def _taken_at(path: Path) -> tuple[bool, str]:
    try:
        with Image.open(path) as image:
            taken = str(image.getexif().get_ifd(_CAMERA_GROUP).get(_TAKEN_AT, ""))
    except (OSError, UnidentifiedImageError, ValueError, SyntaxError, Image.DecompressionBombError):
        taken = ""
    return not taken, taken
