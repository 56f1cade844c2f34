"""Make all pictures of one photo. Bytes in, bytes out, so that a worker on any machine can do it."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from PIL import Image

from sitegen.photos.deriving.color import flatten, profile_of, to_srgb
from sitegen.photos.deriving.measuring import Measures, measure
from sitegen.photos.deriving.redaction import cover
from sitegen.photos.opening.opening import Fault, damaged
from sitegen.photos.opening.orientation import turn_upright, turned_size
from sitegen.photos.planning.planning import Derivation, Plan

SPARE = 1.5
"""A JPEG is decoded at a half, quarter or eighth of its size only if this many times the pixels needed are left."""


@dataclass(frozen=True)
class Derived:
    """All pictures of one photo by file name, its mean color, and its measures."""

    pictures: Mapping[str, bytes]
    placeholder: str
    measures: Measures


def derive(photo: bytes, plan: Plan) -> Derived | Fault:
    """Make the pictures of one photo: upright, sRGB, covered where asked, and without metadata. Decodes it once."""
    decoded = _decode(photo, plan)
    if isinstance(decoded, Fault):
        return decoded
    full = _prepare(decoded, plan)
    return Derived(_write_all(full, plan), _placeholder(full), measure(full))


def _decode(photo: bytes, plan: Plan) -> Image.Image | Fault:
    """Return the decoded photo in its stored orientation, at least as large as its largest picture.

    Only a failure here is the photo's fault; an exception in a later step is a bug in this program.
    """
    width, height = turned_size((plan.full.picture.width, plan.full.picture.height), plan.orientation)
    try:
        with Image.open(io.BytesIO(photo)) as opened:
            opened.draft(None, (round(width * SPARE), round(height * SPARE)))
            opened.load()
    except Exception as trouble:  # a damaged photo can make a decoder raise anything
        return damaged(trouble)
    return opened


def _prepare(decoded: Image.Image, plan: Plan) -> Image.Image:
    """Return a decoded photo at the size of its largest picture: upright, sRGB, covered, and without metadata.

    Covering comes before scaling, so that no covered pixel is averaged into its neighbors. The costly steps come
    after.
    """
    upright_size = (plan.full.picture.width, plan.full.picture.height)
    size = turned_size(upright_size, plan.orientation)
    profile = profile_of(decoded)
    image = flatten(decoded)
    if image.mode == "CMYK":
        image, profile = to_srgb(image, profile), None
    cover(image, plan.covers, plan.orientation)
    if image.size != size:
        image = image.resize(size, Image.Resampling.LANCZOS)
    image = to_srgb(turn_upright(image, plan.orientation), profile)
    # Pillow's encoders copy profiles, comments and camera data from `info`; pictures must have none.
    image.info = {}
    return image


def _write_all(full: Image.Image, plan: Plan) -> dict[str, bytes]:
    pictures: dict[str, bytes] = {}
    by_size = sorted(plan.derivations(), key=_size)
    for size, derivations in groupby(by_size, key=_size):
        image = full if full.size == size else full.resize(size, Image.Resampling.LANCZOS)
        pictures |= {each.picture.name: each.encoding.write(image, each.quality) for each in derivations}
    return pictures


def _size(derivation: Derivation) -> tuple[int, int]:
    return derivation.picture.width, derivation.picture.height


def _placeholder(full: Image.Image) -> str:
    red, green, blue = full.resize((1, 1), Image.Resampling.BOX).getpixel((0, 0))  # type: ignore[misc]
    return f"#{red:02x}{green:02x}{blue:02x}"
