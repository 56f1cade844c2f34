"""Which pictures to make of a photo: their sizes and names. Pure."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass

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
from sitegen.records.store import PictureSettings


@dataclass(frozen=True)
class PhotoFacts:
    """What is known of a photo before its pixels are decoded."""

    digest: str
    """SHA-256 of the file's bytes, in hexadecimal."""
    format: str
    width: int
    height: int
    """Size once upright, in pixels."""
    orientation: int
    """How it is stored, 1 to 8, as in Exif 2.32, tag 0x0112; 1 is upright."""
    decoding_megabytes: float
    """What decoding it takes, at most, about."""


@dataclass(frozen=True)
class Derivation:
    """One picture to make."""

    picture: Candidate
    encoding: Encoding
    quality: int


@dataclass(frozen=True)
class Plan:
    """All that is to be made of one photo."""

    key: str
    """Names the pictures: a digest of the photo's bytes, of the recipe, and of what is asked for."""
    orientation: int
    covers: tuple[Box, ...]
    sources: tuple[tuple[Derivation, ...], ...]
    fallback: Derivation
    full: Derivation

    def derivations(self) -> tuple[Derivation, ...]:
        """Return every picture to make, each name once."""
        listed = [derivation for source in self.sources for derivation in source]
        return tuple({each.picture.name: each for each in (*listed, self.fallback, self.full)}.values())

    def picture(self, photo: PhotoFacts, placeholder: str, digest: str) -> Picture:
        """Return what a page gets to see once all is made."""
        sources = tuple(
            Candidates(source[0].encoding.mime, tuple(each.picture for each in source)) for source in self.sources
        )
        return Picture(
            photo.width, photo.height, sources, self.fallback.picture, self.full.picture, placeholder, digest
        )


def plan_pictures(
    photo: PhotoFacts,
    covers: Iterable[Box] = (),
    is_close_up: bool = False,
    is_first: bool = True,
    wanted: PictureSettings = PictureSettings(),  # noqa: B008 (frozen)
) -> Plan:
    """Plan the pictures of one photo; none is larger than the photo, so nothing is blown up.

    A first photo of 1500 x 1000 is made 320, 480, 640, 800, 1200 and 1500 wide: its own width closes the row. Of
    others nothing is made that is wider than the widest place in a row asks for.
    """
    regions = _union(covers)
    full = _fitting(photo, FULL_LONGEST)
    widths = tuple(width for width in wanted.widths if is_first or width <= WIDEST_IN_A_ROW) or wanted.widths[:1]
    kept = tuple(sorted({min(width, full[0]) for width in widths}))
    sources = tuple(ENCODINGS[each] for each in wanted.formats)
    asked = (photo.digest, recipe(kept, sources), [(box.x, box.y, box.w, box.h) for box in regions], is_close_up)
    key = hashlib.sha256(repr(asked).encode()).hexdigest()

    def derivation(width: int, encoding: Encoding) -> Derivation:
        height = max(1, round(full[1] * width / full[0]))
        name = f"{key[:20]}-{width}.{encoding.extension}"
        return Derivation(Candidate(width, height, name), encoding, encoding.quality_for(width, is_close_up))

    return Plan(
        key,
        photo.orientation,
        regions,
        tuple(tuple(derivation(width, encoding) for width in kept) for encoding in sources),
        derivation(min(FALLBACK_WIDTH, full[0]), JPEG),
        derivation(full[0], JPEG),
    )


def _union(covers: Iterable[Box]) -> tuple[Box, ...]:
    """Return the regions in one order, each once, so that the order in the record does not matter."""
    return tuple(sorted(set(covers), key=lambda box: (box.x, box.y, box.w, box.h)))


def _fitting(photo: PhotoFacts, longest: int) -> tuple[int, int]:
    share = min(1.0, longest / max(photo.width, photo.height))
    return max(1, round(photo.width * share)), max(1, round(photo.height * share))
