"""Covers what must not be seen, such as other people's plates and faces, for good: its pixels are painted over."""

from __future__ import annotations

import math
from collections.abc import Iterable

from PIL import Image

from sitegen.photos.recipe import PLATE
from sitegen.records.disclosure import Box

MARGIN = 2
"""Pixels painted beyond each edge, so that no color of the covered part is left in neighbors it was averaged into."""


def cover(image: Image.Image, regions: Iterable[Box], orientation: int) -> None:
    """Paint a plain plate over regions of the upright photo, in place, in a photo that lies as it is stored."""
    plate = "#{:02x}{:02x}{:02x}".format(*PLATE)
    for region in regions:
        x, y, w, h = stored_box(region, orientation)
        left = max(0, math.floor(x * image.width) - MARGIN)
        top = max(0, math.floor(y * image.height) - MARGIN)
        right = min(image.width, math.ceil((x + w) * image.width) + MARGIN)
        bottom = min(image.height, math.ceil((y + h) * image.height) + MARGIN)
        image.paste(plate, (left, top, right, bottom))


def stored_box(region: Box, orientation: int) -> tuple[float, float, float, float]:
    """Return left, top, width and height, 0 to 1, of an upright region in the photo as it is stored.

    A strip along the upright photo's top is along the left side of one stored with orientation 6 (Exif 2.32, tag
    0x0112: "the 0th row is the visual right-hand side").
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
