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


class PhotoLimits(Record):
    """What `content/reference/photos.yaml` holds."""

    refuse: Refuse
    warn: Warn
    not_for_the_eye: frozenset[str]
    """Kinds of defect that no photo can show."""
    empty_words: frozenset[str]
    """Words that say nothing about what a photo shows."""


@cache
def photo_limits() -> PhotoLimits:
    """Return the limits that ship with the program."""
    text = (content_folder() / "reference" / "photos.yaml").read_text(encoding="utf-8")
    return PhotoLimits.model_validate(yaml.safe_load(text))
