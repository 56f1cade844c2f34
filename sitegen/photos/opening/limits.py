"""The figures that photos are judged by, read from `content/reference/photos.yaml`."""

from __future__ import annotations

from functools import cache
from typing import Annotated

import yaml
from pydantic import Field

from sitegen.records.base import Record
from sitegen.records.sourced import Sourced
from sitegen.shared_data import content_folder

AboveZero = Annotated[float, Field(gt=0)]
Pixels = Annotated[int, Field(gt=0)]


class Refuse(Sourced):
    """Beyond these a photo is refused."""

    more_megapixels_than: AboveZero
    longer_than_wide: AboveZero
    """Longer side over shorter side."""
    sides_under: Pixels


class Warn(Sourced):
    """Beyond these the photographer is warned."""

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
    """The card that sizes are measured by, and beyond what they would be guesswork."""

    length: AboveZero
    """Of the card's longer side, in millimeters."""
    width: AboveZero
    """Of its shorter side, in millimeters."""
    tap_error: AboveZero
    """By which a tapped place may be off at most, in pixels of 1,600 on the photo's longer side."""
    panel_radius: AboveZero
    """The tightest bend of a panel that is allowed for, in millimeters."""
    focal_length: AboveZero
    """Of the camera, over the photo's longer side."""
    shorter_side_at_least: AboveZero
    """Pixels of 1,600 that the card's shortest side must have."""
    seen_share_at_least: AboveZero
    """What foreshortening must leave of the card, 1 being seen straight on."""
    card_lengths_at_most: AboveZero
    """From the card's center to either end of what is measured."""
    uncertain_share_at_most: AboveZero
    """Expanded uncertainty over the size."""


class PhotoLimits(Record):
    """What `content/reference/photos.yaml` holds."""

    refuse: Refuse
    warn: Warn
    card: CardLimits
    not_for_the_eye: frozenset[str]
    """Kinds of defect that no photo can show."""
    empty_words: frozenset[str]
    """Words that say nothing about what a photo shows."""


@cache
def photo_limits() -> PhotoLimits:
    """Return the limits that ship with the program."""
    text = (content_folder() / "reference" / "photos.yaml").read_text(encoding="utf-8")
    return PhotoLimits.model_validate(yaml.safe_load(text))
