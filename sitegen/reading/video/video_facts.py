"""What the head of a video file says, whichever container it is in."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class VideoFacts:
    """`length` is in milliseconds, None where the file does not say; width and height are in pixels, as shown."""

    mime: str
    coding: str
    """As the container names it: avc1, V_VP9."""
    width: int
    height: int
    length: int | None
    tells_place: bool
    """Whether it says where on Earth it was filmed."""
