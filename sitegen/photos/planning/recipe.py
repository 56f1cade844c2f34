"""The encoding parameters of pictures: sizes, qualities and efforts. A change here changes every picture's name.

The store chooses formats and widths (`PictureSettings`).

Qualities and efforts were chosen by measurement (`python -m tests.bench photos`): the structural similarity of luma
(Wang et al., 2004) to the upright photo at the same size is at least 0.95, median over the demo store's close-ups, in
every format at every width. Close-ups of defects get the higher quality; on dense screens, other photos look the same
with less.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass

from PIL import Image

from sitegen.records.store import PictureFormat

WIDEST_IN_A_ROW = 1200
"""Only a vehicle's first photo gets wider pictures, because only it spans a page. All others are shown at most 449
CSS pixels wide, and screens with more than two pixels for each CSS pixel are phones' screens."""
FALLBACK_WIDTH = 800
FULL_LONGEST = 2048
"""Longer side of the picture for looking closely, in pixels."""

PLATE = (190, 186, 178)
"""Color that covers what must not be seen."""

SMALL = 800
"""Pictures up to this width, in pixels, need less quality for the same structural similarity."""


@dataclass(frozen=True)
class Encoding:
    """A picture format with its encoder options."""

    format: str
    mime: str
    extension: str
    quality: int
    quality_small: int
    """Quality of pictures up to SMALL pixels wide."""
    quality_view: int
    """Quality of wider pictures of photos that are not a close-up of a defect."""
    options: Mapping[str, str | int | bool]

    def quality_for(self, width: int, is_close_up: bool) -> int:
        """Return the encoder quality for a picture of this width in pixels."""
        if width <= SMALL:
            return self.quality_small
        return self.quality if is_close_up else self.quality_view

    def write(self, image: Image.Image, quality: int) -> bytes:
        """Return the encoded bytes of an image, which must hold no metadata."""
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
    # One thread: photos are already encoded in parallel, and the bytes must not depend on the machine.
    options={"speed": 9, "subsampling": "4:2:0", "max_threads": 1, "autotiling": False},
)
# Few browsers support WebP but not AVIF, so WebP is optional and encoded with little effort.
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
    """Return all encoding parameters of a photo's pictures as text, for use in a digest."""
    # Increase the leading number when the code makes other pixels from the same parameters.
    return repr((1, widths, sources, FALLBACK_WIDTH, FULL_LONGEST, PLATE, SMALL, JPEG))
