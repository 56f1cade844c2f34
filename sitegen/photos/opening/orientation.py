"""How a photo is stored, and what turns it upright. Source: Exif 2.32, tag 0x0112."""

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
"""What turns a photo stored with each orientation upright; 1 is upright already."""


def stored_orientation(image: Image.Image, photo: bytes) -> int:
    """Return how a photo is stored: 1 to 8, where 1 is upright; what is absent or nonsense counts as upright.

    HEIC and AVIF say it once more in properties of their own; their decoders apply those and change the tag to match.
    """
    stored = _exif(image, photo).get(TAG, 1)
    return stored if isinstance(stored, int) and 1 <= stored <= 8 else 1


def turn_upright(image: Image.Image, orientation: int) -> Image.Image:
    """Return a photo, stored with an orientation, as it was seen."""
    return image.transpose(UPRIGHT[orientation]) if orientation in UPRIGHT else image


def turned_size(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    """Return the upright size of a stored photo, or the stored size of an upright one: 5 to 8 lie on their side."""
    return (size[1], size[0]) if orientation >= 5 else size


def stored_box(region: Box, orientation: int) -> tuple[float, float, float, float]:
    """Return left, top, width and height, 0 to 1, of an upright region in the photo as it is stored.

    With orientation 6 "the 0th row is the visual right-hand side": what is at the upright photo's right is on top.
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
    # Asked for the Exif of a PNG, Pillow decodes all of it, for the chunk may stand at the end.
    exif = Image.Exif()
    for kind, data in png_chunks(photo):
        if kind == b"eXIf":
            exif.load(b"Exif\0\0" + data)
    return exif
