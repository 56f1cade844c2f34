"""Make a small picture of a photo for the store's staff: upright, covered where asked, and without metadata."""

from __future__ import annotations

import io
from collections.abc import Sequence

from PIL import Image

from sitegen.photos.deriving.color import flatten, profile_of, to_srgb
from sitegen.photos.deriving.redaction import cover
from sitegen.photos.opening.limits import photo_limits
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.photos.opening.orientation import stored_orientation, turn_upright
from sitegen.records.disclosure import Box

_QUALITY = 70


def thumbnail(photo: bytes, name: str, covers: Sequence[Box], longer_side: int) -> bytes | None:
    """Return a photo as a JPEG file of at most `longer_side` pixels, or None if it cannot be shown.

    `name` is the photo's file name, and `covers` are the regions to hide.
    """
    if isinstance(judge_photo(photo, name, photo_limits().refuse), Fault):
        return None
    try:
        with Image.open(io.BytesIO(photo)) as opened:
            orientation = stored_orientation(opened, photo)
            opened.draft(None, (longer_side * 2, longer_side * 2))
            opened.load()
    except Exception:  # a damaged photo can make a decoder raise anything
        return None
    image, profile = flatten(opened), profile_of(opened)
    cover(image, covers, orientation)
    image.thumbnail((longer_side, longer_side), Image.Resampling.LANCZOS)
    image = turn_upright(to_srgb(image, profile), orientation).convert("RGB")
    image.info = {}
    written = io.BytesIO()
    image.save(written, "JPEG", quality=_QUALITY, optimize=True)
    return written.getvalue()
