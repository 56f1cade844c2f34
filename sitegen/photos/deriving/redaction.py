"""Covers what must not be seen, such as other people's plates and faces, for good: its pixels are painted over."""

from __future__ import annotations

import math
from collections.abc import Iterable

from PIL import Image

from sitegen.photos.opening.orientation import stored_box
from sitegen.photos.planning.recipe import PLATE
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
