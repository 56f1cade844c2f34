"""How pictures are made: widths, formats, qualities. A change here changes every picture's name.

Qualities and efforts were chosen by measuring (`python -m tests.bench photos`): structural similarity to the upright
photo at the same size at least 0.95, median over the demo store's close-ups, at every width.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

WIDTHS = (320, 480, 640, 960, 1280, 1600)
"""CSS slots of 170 to 760 pixels at densities 1 to 3; see the theme's `sizes`."""
FALLBACK_WIDTH = 960
FULL_LONGEST = 2048
"""Longer side of the picture for looking closely, in pixels."""

PLATE = (190, 186, 178)
"""Color of the plain plate that covers what must not be seen."""


@dataclass(frozen=True)
class Encoding:
    """A picture format, and how to write it."""

    format: str
    mime: str
    extension: str
    options: Mapping[str, str | int | bool]


AVIF = Encoding(
    "AVIF",
    "image/avif",
    "avif",
    # One thread: photos already run side by side, and the bytes must not depend on the machine.
    {"quality": 65, "speed": 8, "subsampling": "4:2:0", "max_threads": 1, "autotiling": False},
)
WEBP = Encoding("WEBP", "image/webp", "webp", {"quality": 88, "method": 4})
JPEG = Encoding("JPEG", "image/jpeg", "jpg", {"quality": 80, "progressive": True, "optimize": True})

SOURCES = (AVIF, WEBP)
"""Best first: a browser takes the first that it knows."""

RECIPE = repr((1, WIDTHS, FALLBACK_WIDTH, FULL_LONGEST, PLATE, AVIF, WEBP, JPEG))
"""The whole recipe as text. The leading number changes when the code makes different pixels of the same figures."""
