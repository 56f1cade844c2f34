"""Plan the sizes and file names of a photo's pictures. Pure."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sitegen.photos.planning.pictures import Candidate, Candidates, Picture
from sitegen.photos.planning.recipe import (
    ENCODINGS,
    FALLBACK_WIDTH,
    FULL_LONGEST,
    JPEG,
    WIDEST_IN_A_ROW,
    Encoding,
    recipe,
)
from sitegen.records.disclosure import Box
from sitegen.records.store import PictureFormat, PictureSettings


@dataclass(frozen=True)
class PhotoFacts:
    """The facts of a photo that its header gives, before its pixels are decoded."""

    digest: str
    """SHA-256 of the file's bytes, in hexadecimal."""
    format: str
    width: int
    height: int
    """Size of the upright photo, in pixels."""
    orientation: int
    """Exif orientation, 1 to 8 (Exif 2.32, tag 0x0112); 1 is upright."""
    decoding_megabytes: float
    """An upper estimate of the memory that decoding takes, in megabytes."""


@dataclass(frozen=True)
class Derivation:
    """One picture to make."""

    picture: Candidate
    encoding: Encoding
    quality: int


@dataclass(frozen=True)
class Plan:
    """All pictures to make of one photo."""

    key: str
    """Digest of the photo's bytes, the recipe and the request. Its first 20 digits begin the pictures' names."""
    orientation: int
    covers: tuple[Box, ...]
    sources: tuple[tuple[Derivation, ...], ...]
    fallback: Derivation
    full: Derivation

    def derivations(self) -> tuple[Derivation, ...]:
        """Return every picture to make, without duplicates."""
        listed = [derivation for source in self.sources for derivation in source]
        return tuple({each.picture.name: each for each in (*listed, self.fallback, self.full)}.values())

    def picture(self, photo: PhotoFacts, placeholder: str, digests: Mapping[str, str]) -> Picture:
        """Return the finished pictures as a page uses them. `digests` are those of their files, by name."""

        def made(planned: Derivation) -> Candidate:
            return replace(planned.picture, digest=digests[planned.picture.name])

        sources = tuple(Candidates(source[0].encoding.mime, tuple(map(made, source))) for source in self.sources)
        return Picture(photo.width, photo.height, sources, made(self.fallback), made(self.full), placeholder)


def plan_pictures(
    photo: PhotoFacts,
    covers: Iterable[Box] = (),
    is_close_up: bool = False,
    is_first: bool = True,
    wanted: PictureSettings = PictureSettings(),  # noqa: B008 (frozen)
) -> Plan:
    """Plan the pictures of one photo. None is larger than the photo, so nothing is upscaled.

    A first photo of 1500 x 1000 gets pictures 320, 480, 640, 800, 1200 and 1500 pixels wide; the photo's own width is
    the last. Pictures of other photos are at most WIDEST_IN_A_ROW pixels wide.
    """
    return plan_widths(photo, covers, is_close_up, possible_widths(photo, is_first, wanted), wanted.formats)


def possible_widths(photo: PhotoFacts, is_first: bool, wanted: PictureSettings) -> tuple[int, ...]:
    """Return the widths of a photo's pictures, in pixels, narrowest first."""
    widths = tuple(width for width in wanted.widths if is_first or width <= WIDEST_IN_A_ROW) or wanted.widths[:1]
    return tuple(sorted({min(width, _fitting(photo, FULL_LONGEST)[0]) for width in widths}))


def plan_widths(
    photo: PhotoFacts,
    covers: Iterable[Box],
    is_close_up: bool,
    possible: tuple[int, ...],
    formats: Iterable[PictureFormat],
) -> Plan:
    """Plan the pictures of one photo in these widths. No picture is larger than the photo."""
    regions = _union(covers)
    full = _fitting(photo, FULL_LONGEST)
    sources = tuple(ENCODINGS[each] for each in formats)
    boxes = [(box.x, box.y, box.w, box.h) for box in regions]
    key = hashlib.sha256(repr((photo.digest, recipe(possible, sources), boxes, is_close_up)).encode()).hexdigest()

    def derivation(width: int, encoding: Encoding) -> Derivation:
        height = max(1, round(full[1] * width / full[0]))
        name = f"{key[:20]}-{width}.{encoding.extension}"
        return Derivation(Candidate(width, height, name), encoding, encoding.quality_for(width, is_close_up))

    return Plan(
        key,
        photo.orientation,
        regions,
        tuple(tuple(derivation(width, encoding) for width in possible) for encoding in sources),
        derivation(min(FALLBACK_WIDTH, full[0]), JPEG),
        derivation(full[0], JPEG),
    )


def _union(covers: Iterable[Box]) -> tuple[Box, ...]:
    """Return the regions sorted and without duplicates, so that their order in the record does not matter."""
    return tuple(sorted(set(covers), key=lambda box: (box.x, box.y, box.w, box.h)))


def _fitting(photo: PhotoFacts, longest: int) -> tuple[int, int]:
    share = min(1.0, longest / max(photo.width, photo.height))
    return max(1, round(photo.width * share)), max(1, round(photo.height * share))
