"""The figures that photos are judged by, read from `content/reference/photos.yaml`."""

from __future__ import annotations

from functools import cache
from typing import Annotated

import yaml
from pydantic import Field

from sitegen.records.base import Record
from sitegen.shared_data import content_folder

AboveZero = Annotated[float, Field(gt=0)]


class Refuse(Record):
    """Beyond these a photo is refused."""

    more_megapixels_than: AboveZero
    longer_than_wide: AboveZero
    """Longer side over shorter side."""
    sides_under: int
    """Pixels."""


class PhotoLimits(Record):
    """What `content/reference/photos.yaml` holds."""

    refuse: Refuse


@cache
def photo_limits() -> PhotoLimits:
    """Return the limits that ship with the program."""
    text = (content_folder() / "reference" / "photos.yaml").read_text(encoding="utf-8")
    return PhotoLimits.model_validate(yaml.safe_load(text))
