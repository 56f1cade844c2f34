"""Decide from its name, header and size whether a file is a usable photo. Decodes no pixels."""

from __future__ import annotations

import hashlib
import io
import re
import warnings
from dataclasses import dataclass
from pathlib import PurePosixPath

import pillow_heif
from PIL import Image, UnidentifiedImageError

from sitegen.photos.opening.completeness import is_cut_short
from sitegen.photos.opening.limits import Refuse
from sitegen.photos.opening.orientation import stored_orientation, turned_size
from sitegen.photos.planning.planning import PhotoFacts

pillow_heif.register_heif_opener()

EXTENSIONS = {
    "JPEG": (".jpg", ".jpeg"),
    "MPO": (".jpg", ".jpeg", ".mpo"),
    "PNG": (".png",),
    "WEBP": (".webp",),
    "AVIF": (".avif",),
    "HEIF": (".heic", ".heif", ".hif"),
}
BYTES_A_PIXEL = {"JPEG": 4.5, "MPO": 4.5, "HEIF": 8.0, "AVIF": 9.5, "PNG": 10.0, "WEBP": 16.0}
"""Peak memory of decoding, in bytes a pixel, measured on 50 megapixels. A JPEG is decoded at half its size."""
BYTES_A_PIXEL_PROGRESSIVE = 7.5
"""The same for a progressive JPEG, which is held in memory as a whole."""
_ACCEPTED = "a JPEG, PNG, WebP, AVIF or HEIC photo"
_COPY_AGAIN = "copy the photo from the phone or camera again"


@dataclass(frozen=True)
class Fault:
    """The reason why a photo cannot be used, as the texts of a Problem."""

    found: str
    expected: str
    mend: str


def judge_photo(photo: bytes, file: str, limits: Refuse) -> PhotoFacts | Fault:
    """Return the facts in a photo's header, or the fault why it cannot be used.

    `file` is its name, for the extension. `limits` are those beyond which it is refused.
    """
    if not photo:
        return Fault("an empty file", _ACCEPTED, _COPY_AGAIN)
    if is_cut_short(photo):
        return Fault("a photo that ends before its time", "the whole photo", _COPY_AGAIN)
    header = _read_header(photo, limits)
    if isinstance(header, Fault):
        return header
    fault = _judge_name(header.kind, file) or _judge_size((header.width, header.height), limits)
    return fault or _facts(header, photo)


@dataclass(frozen=True)
class _Header:
    """The facts in a photo's header, before it is turned upright."""

    kind: str
    width: int
    height: int
    progressive: bool
    orientation: int


def _read_header(photo: bytes, limits: Refuse) -> _Header | Fault:
    """Return the header of a photo, or its fault. An exception after this step is a bug in this program."""
    try:
        with _open_warily(photo) as image:
            progressive = bool(image.info.get("progressive"))
            header = _Header(image.format or "", *image.size, progressive, stored_orientation(image, photo))
            image.verify()  # Verifies the checksums of a PNG, and nothing in other formats.
            return header
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        return _too_large(limits)
    except UnidentifiedImageError:
        mend = "put the photo itself here, or take its name out of the record"
        return Fault("a file that is no photo", _ACCEPTED, mend)
    except Exception as trouble:  # a damaged header can make a decoder raise anything
        return damaged(trouble)


def damaged(trouble: Exception) -> Fault:
    """Return the fault of a photo whose decoder raised an exception."""
    return Fault(f"a damaged photo ({str(trouble).strip() or type(trouble).__name__})", _ACCEPTED, _COPY_AGAIN)


def _open_warily(photo: bytes) -> Image.Image:
    # Pillow warns above a size limit and refuses only twice that; here the warning is treated as an error.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        return Image.open(io.BytesIO(photo))


def _judge_name(kind: str, file: str) -> Fault | None:
    fitting = EXTENSIONS.get(kind)
    if fitting is None:
        return Fault(f"a {kind} picture", _ACCEPTED, "save it as a JPEG or PNG")
    path = PurePosixPath(file)
    if path.suffix.lower() in fitting:
        return None
    known_as = "JPEG" if kind == "MPO" else "HEIC" if kind == "HEIF" else kind
    # A name that begins with a hyphen would be taken for an option by many programs.
    stem = re.sub(r"^\W+", "", path.stem) or "photo"
    mend = f"rename it to {stem}{fitting[0]}, here and in the record"
    return Fault(f"a {known_as} photo named {path.name}", f"a name ending in {fitting[0]}", mend)


def _judge_size(size: tuple[int, int], limits: Refuse) -> Fault | None:
    found = f"a photo of {size[0]} x {size[1]} pixels"
    if size[0] * size[1] > limits.more_megapixels_than * 1e6:
        return _too_large(limits)
    if min(size) < limits.sides_under:
        return Fault(found, f"at least {limits.sides_under} pixels each way", _COPY_AGAIN)
    if max(size) > limits.longer_than_wide * min(size):
        expected = f"a longer side at most {limits.longer_than_wide:g} times the shorter"
        return Fault(found, expected, "cut it to the part that matters")
    return None


def _too_large(limits: Refuse) -> Fault:
    expected = f"at most {limits.more_megapixels_than:g} megapixels"
    return Fault("a picture too large to open safely", expected, "make it smaller, or take the photo again")


def _facts(header: _Header, photo: bytes) -> PhotoFacts:
    bytes_a_pixel = BYTES_A_PIXEL_PROGRESSIVE if header.progressive else BYTES_A_PIXEL[header.kind]
    megabytes = header.width * header.height * bytes_a_pixel / 1e6
    width, height = turned_size((header.width, header.height), header.orientation)
    digest = hashlib.sha256(photo).hexdigest()
    return PhotoFacts(digest, header.kind, width, height, header.orientation, megabytes)
