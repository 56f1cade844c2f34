"""Cover regions that must not be seen, such as other people's plates and faces, by painting over their pixels."""

from __future__ import annotations

import math
from collections.abc import Iterable

from PIL import Image

from sitegen.photos.opening.orientation import stored_box
from sitegen.photos.planning.recipe import PLATE
from sitegen.records.disclosure import Box

MARGIN = 2
"""Pixels painted beyond each edge: compression and scaling may have mixed covered colors into them."""


def cover(image: Image.Image, regions: Iterable[Box], orientation: int) -> None:
    """Paint a plain color over regions, in place. `regions` refer to the upright photo, `image` is as stored."""
    plate = "#{:02x}{:02x}{:02x}".format(*PLATE)
    for region in regions:
        x, y, w, h = stored_box(region, orientation)
        left = max(0, math.floor(x * image.width) - MARGIN)
        top = max(0, math.floor(y * image.height) - MARGIN)
        right = min(image.width, math.ceil((x + w) * image.width) + MARGIN)
        bottom = min(image.height, math.ceil((y + h) * image.height) + MARGIN)
        image.paste(plate, (left, top, right, bottom))
