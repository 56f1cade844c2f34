"""Is this file a photo that can be used? Looks at names, headers and sizes; decodes no pixel."""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass
from pathlib import PurePosixPath

import pillow_heif
from PIL import Image, UnidentifiedImageError

from sitegen.photos.completeness import is_cut_short
from sitegen.photos.limits import Refuse, photo_limits
from sitegen.photos.planning import PhotoFacts

pillow_heif.register_heif_opener()

ORIENTATION_TAG = 0x0112
EXTENSIONS = {
    "JPEG": (".jpg", ".jpeg"),
    "MPO": (".jpg", ".jpeg", ".mpo"),
    "PNG": (".png",),
    "WEBP": (".webp",),
    "AVIF": (".avif",),
    "HEIF": (".heic", ".heif", ".hif"),
}
_ACCEPTED = "a JPEG, PNG, WebP, AVIF or HEIC photo"
_COPY_AGAIN = "copy the photo from the phone or camera again"


@dataclass(frozen=True)
class Fault:
    """Why a photo cannot be used."""

    found: str
    expected: str
    mend: str


def judge_photo(photo: bytes, file: str) -> PhotoFacts | Fault:
    """Return what the header of a photo says, or why it cannot be used. `file` is its name, for its extension."""
    if not photo:
        return Fault("an empty file", _ACCEPTED, _COPY_AGAIN)
    if is_cut_short(photo):
        return Fault("a photo that ends before its time", "the whole photo", _COPY_AGAIN)
    try:
        image = open_image(photo)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        return _too_large(photo_limits().refuse)
    except UnidentifiedImageError:
        return Fault(
            "a file that is no photo", _ACCEPTED, "put the photo itself here, or take its name out of the record"
        )
    except Exception as trouble:  # a damaged header can make a decoder raise anything
        return damaged(trouble)
    with image:
        return (
            _judge_name(image, file)
            or _judge_size(image, photo_limits().refuse)
            or PhotoFacts(
                hashlib.sha256(photo).hexdigest(), image.format or "", *_upright_size(image), orientation(image)
            )
        )


def open_image(photo: bytes) -> Image.Image:
    """Open a photo without decoding it. Raises what Pillow raises, and treats its size warning as an error."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        return Image.open(io.BytesIO(photo))


def orientation(image: Image.Image) -> int:
    """Return how a photo is stored: 1 to 8, where 1 is upright; what is absent or nonsense counts as upright."""
    stored = image.getexif().get(ORIENTATION_TAG, 1)
    return stored if isinstance(stored, int) and 1 <= stored <= 8 else 1


def damaged(trouble: Exception) -> Fault:
    """Return the fault of a photo whose decoder gave up."""
    return Fault(f"a damaged photo ({str(trouble).strip() or type(trouble).__name__})", _ACCEPTED, _COPY_AGAIN)


def _judge_name(image: Image.Image, file: str) -> Fault | None:
    fitting = EXTENSIONS.get(image.format or "")
    if fitting is None:
        return Fault(f"a {image.format} picture", _ACCEPTED, "save it as a JPEG or PNG")
    path = PurePosixPath(file)
    if path.suffix.lower() in fitting:
        return None
    kind = "JPEG" if image.format == "MPO" else "HEIC" if image.format == "HEIF" else image.format
    mend = f"rename it to {path.with_suffix(fitting[0]).name}, here and in the record"
    return Fault(f"a {kind} photo named {path.name}", f"a name ending in {fitting[0]}", mend)


def _judge_size(image: Image.Image, limits: Refuse) -> Fault | None:
    width, height = _upright_size(image)
    if width * height > limits.more_megapixels_than * 1e6:
        return _too_large(limits)
    if min(width, height) < limits.sides_under:
        return Fault(
            f"a photo of {width} x {height} pixels", f"at least {limits.sides_under} pixels each way", _COPY_AGAIN
        )
    if max(width, height) > limits.longer_than_wide * min(width, height):
        expected = f"a longer side at most {limits.longer_than_wide:g} times the shorter"
        return Fault(f"a photo of {width} x {height} pixels", expected, "cut it to the part that matters")
    return None


def _too_large(limits: Refuse) -> Fault:
    expected = f"at most {limits.more_megapixels_than:g} megapixels"
    return Fault("a picture too large to open safely", expected, "make it smaller, or take the photo again")


def _upright_size(image: Image.Image) -> tuple[int, int]:
    width, height = image.size
    return (height, width) if orientation(image) >= 5 else (width, height)
