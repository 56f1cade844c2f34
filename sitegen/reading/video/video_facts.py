"""Metadata of a video file, the same for each container format."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class VideoFacts:
    """Metadata of a video file. `length` is in milliseconds, or None if unknown. Size is in pixels, as displayed."""

    mime: str
    coding: str
    """Codec identifier as written in the container: avc1, V_VP9."""
    width: int
    height: int
    length: int | None
    has_location: bool
    """Whether the file contains the place where it was filmed."""
