"""Read a photo's Exif orientation, and turn photos and regions by it. Source: Exif 2.32, tag 0x0112."""

from __future__ import annotations

from PIL import Image

from sitegen.photos.opening.completeness import png_chunks
from sitegen.records.disclosure import Box

TAG = 0x0112
UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""The transposition that turns a photo of each orientation upright. Orientation 1 is upright already."""


def stored_orientation(image: Image.Image, photo: bytes) -> int:
    """Return the Exif orientation of a photo, 1 to 8. A missing or invalid value counts as 1, which is upright.

    HEIC and AVIF also store the orientation in their own properties; their decoders apply these and adjust the tag.
    """
    stored = _exif(image, photo).get(TAG, 1)
    return stored if isinstance(stored, int) and 1 <= stored <= 8 else 1


def turn_upright(image: Image.Image, orientation: int) -> Image.Image:
    """Return the upright photo of one that is stored with an orientation."""
    return image.transpose(UPRIGHT[orientation]) if orientation in UPRIGHT else image


def turned_size(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    """Convert a size from stored to upright, or back: orientations 5 to 8 swap width and height."""
    return (size[1], size[0]) if orientation >= 5 else size


def stored_box(region: Box, orientation: int) -> tuple[float, float, float, float]:
    """Convert a region of the upright photo to the stored photo: left, top, width and height, each 0 to 1.

    With orientation 6 "the 0th row is the visual right-hand side": the upright photo's right side is stored on top.
    """
    x, y, w, h = region.x, region.y, region.w, region.h
    from_right, from_bottom = 1 - x - w, 1 - y - h
    return {
        1: (x, y, w, h),
        2: (from_right, y, w, h),
        3: (from_right, from_bottom, w, h),
        4: (x, from_bottom, w, h),
        5: (y, x, h, w),
        6: (y, from_right, h, w),
        7: (from_bottom, from_right, h, w),
        8: (from_bottom, x, h, w),
    }[orientation]


def _exif(image: Image.Image, photo: bytes) -> Image.Exif:
    if image.format != "PNG":
        return image.getexif()
    # For the Exif of a PNG, Pillow would decode all pixels, because the chunk may be at the end of the file.
    exif = Image.Exif()
    for kind, data in png_chunks(photo):
        if kind == b"eXIf":
            exif.load(b"Exif\0\0" + data)
    return exif
