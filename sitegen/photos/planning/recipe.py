"""How pictures are made: sizes, qualities, efforts. A change here changes every picture's name.

Formats and widths are the store's to choose (`PictureSettings`).

Qualities and efforts were chosen by measuring (`python -m tests.bench photos`): the structural similarity of luma
(Wang et al., 2004) to the upright photo at the same size is at least 0.95, median over the demo store's close-ups, in
every format at every width. What proves a flaw gets the bytes; in a view at the sizes of dense screens, fewer are not
missed.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass

from PIL import Image

from sitegen.records.store import PictureFormat

WIDEST_IN_A_ROW = 1200
"""Wider pictures are made of a vehicle's first photo only, which alone spans a page: all others stand at most 449 CSS
pixels wide, and a screen that shows more than two pixels for each of them is a phone's."""
FALLBACK_WIDTH = 800
FULL_LONGEST = 2048
"""Longer side of the picture for looking closely, in pixels."""

PLATE = (190, 186, 178)
"""Color of the plain plate that covers what must not be seen."""


SMALL = 800
"""Pictures up to this width need less quality for the same likeness to the photo."""


@dataclass(frozen=True)
class Encoding:
    """A picture format, and how to write it."""

    format: str
    mime: str
    extension: str
    quality: int
    quality_small: int
    """Quality of pictures up to SMALL wide."""
    quality_view: int
    """Quality of wider ones of photos that are no close-up of a defect."""
    options: Mapping[str, str | int | bool]

    def quality_for(self, width: int, is_close_up: bool) -> int:
        """Return the quality of a picture of some width."""
        if width <= SMALL:
            return self.quality_small
        return self.quality if is_close_up else self.quality_view

    def write(self, image: Image.Image, quality: int) -> bytes:
        """Return the bytes of a picture. The image must carry nothing but pixels."""
        written = io.BytesIO()
        image.save(written, self.format, quality=quality, **self.options)
        return written.getvalue()


AVIF = Encoding(
    "AVIF",
    "image/avif",
    "avif",
    quality=60,
    quality_small=52,
    quality_view=50,
    # One thread: photos already run side by side, and the bytes must not depend on the machine.
    options={"speed": 9, "subsampling": "4:2:0", "max_threads": 1, "autotiling": False},
)
# Few browsers know WebP but not AVIF: it is made where a store asks for it, and little time goes into its last bytes.
WEBP = Encoding("WEBP", "image/webp", "webp", quality=86, quality_small=78, quality_view=80, options={"method": 2})
JPEG = Encoding(
    *("JPEG", "image/jpeg", "jpg"),
    quality=78,
    quality_small=78,
    quality_view=78,
    options={"progressive": True, "optimize": True},
)

ENCODINGS = {PictureFormat.AVIF: AVIF, PictureFormat.WEBP: WEBP}


def recipe(widths: tuple[int, ...], sources: tuple[Encoding, ...]) -> str:
    """Return the whole recipe of a photo's pictures as text."""
    # The leading number changes when the code makes different pixels of the same figures.
    return repr((1, widths, sources, FALLBACK_WIDTH, FULL_LONGEST, PLATE, SMALL, JPEG))
