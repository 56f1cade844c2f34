"""The limits that photos are checked against, read from `content/reference/photos.yaml`."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Annotated

import yaml
from pydantic import Field

from sitegen.records.base import Record
from sitegen.records.sourced import Sourced
from sitegen.shared_data import content_folder

AboveZero = Annotated[float, Field(gt=0)]
Pixels = Annotated[int, Field(gt=0)]


class Refuse(Sourced):
    """A photo beyond one of these limits is refused."""

    more_megapixels_than: AboveZero
    longer_than_wide: AboveZero
    """Longer side over shorter side."""
    sides_under: Pixels


class Warn(Sourced):
    """A photo beyond one of these limits gets a warning."""

    darker_than: AboveZero
    """Mean luma, 0 to 255."""
    sharpness_under_share: AboveZero
    """Of the median of the store's photos."""
    sharpness_needs_photos: int
    likeness_within_bits: int
    first_photo_narrower_than: Pixels
    close_photo_narrower_than: Pixels
    other_photo_narrower_than: Pixels
    close_up_mark_from: AboveZero
    """Half the mark's width over the photo's width."""
    words_at_least: int


class CardLimits(Sourced):
    """The size of the measuring card, and the limits beyond which a card gives no size."""

    length: AboveZero
    """Of the card's longer side, in millimeters."""
    width: AboveZero
    """Of its shorter side, in millimeters."""
    tap_error: AboveZero
    """The largest error of a tap, in pixels of a photo whose longer side has 1,600."""
    panel_radius: AboveZero
    """The smallest radius of a curved panel that is allowed for, in millimeters."""
    focal_length: AboveZero
    """Focal length of the camera divided by the photo's longer side."""
    shorter_side_at_least: AboveZero
    """The smallest length of the card's shortest side, in pixels of a photo whose longer side has 1,600."""
    seen_share_at_least: AboveZero
    """The smallest foreshortening that is accepted: 1 is seen straight on, 0 is edge-on."""
    card_lengths_at_most: AboveZero
    """The largest distance, in card lengths, from the card's center to either end of the measured span."""
    uncertain_share_at_most: AboveZero
    """The largest expanded uncertainty, as a share of the size."""


class PhotoLimits(Record):
    """The content of `content/reference/photos.yaml`."""

    refuse: Refuse
    warn: Warn
    card: CardLimits
    not_for_the_eye: frozenset[str]
    """Kinds of defect that no photo can show."""
    empty_words: frozenset[str]
    """Words that say nothing about what a photo shows."""


def limits_file() -> Path:
    """Return the file that states the limits."""
    return content_folder() / "reference" / "photos.yaml"


def read_limits() -> PhotoLimits:
    """Read the limits that ship with the program."""
    return PhotoLimits.model_validate(yaml.safe_load(limits_file().read_text(encoding="utf-8")))


@cache
def photo_limits() -> PhotoLimits:
    """Return the limits that ship with the program, read once."""
    return read_limits()
