"""Cover a plate or a face in a film: a box at two or more moments, interpolated and filled for good.

Pure: boxes in, filter text out. A fill is plain, because a blur can be reversed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

STEP = 0.1
"""Seconds for which one drawn box stays; it holds every place of the moving box in that time."""
FILL = "0x8a8a86"


@dataclass(frozen=True)
class CoverBox:
    """Where a cover is at one moment: seconds of the source; left, top, width and height as shares of the picture."""

    at: float
    x: float
    y: float
    w: float
    h: float


def cover_filters(cover: Sequence[CoverBox], starts_at: float) -> Iterator[str]:
    """Yield one `drawbox` filter for each step of a cover's life. Times count from `starts_at` in the source.

    A box stays at its first place before the first moment, and at its last place after the last: an unsure edge hides
    too much rather than too little. Each drawn box is the smallest that holds the moving box during its step.
    """
    boxes = sorted(cover, key=lambda box: box.at)
    first, last = boxes[0], boxes[-1]
    yield _drawn([first], f"lt(t,{first.at - starts_at:.3f})")
    for before, after in pairwise(boxes):
        span = after.at - before.at
        steps = max(round(span / STEP + 0.5), 1)
        for step in range(steps):
            ends = [_between(before, after, share / steps) for share in (step, step + 1)]
            from_, to = (end.at - starts_at for end in ends)
            yield _drawn(ends, f"gte(t,{from_:.3f})*lt(t,{to:.3f})")
    yield _drawn([last], f"gte(t,{last.at - starts_at:.3f})")


def _between(before: CoverBox, after: CoverBox, share: float) -> CoverBox:
    def mix(a: float, b: float) -> float:
        return a + (b - a) * share

    return CoverBox(
        mix(before.at, after.at),
        mix(before.x, after.x),
        mix(before.y, after.y),
        mix(before.w, after.w),
        mix(before.h, after.h),
    )


def _drawn(boxes: Sequence[CoverBox], enabled: str) -> str:
    """Return the filter that fills the smallest box around some boxes, two pixels wider on each side."""
    left, top = min(box.x for box in boxes), min(box.y for box in boxes)
    right = max(box.x + box.w for box in boxes)
    bottom = max(box.y + box.h for box in boxes)
    place = f"x=iw*{left:.5f}-2:y=ih*{top:.5f}-2:w=iw*{right - left:.5f}+4:h=ih*{bottom - top:.5f}+4"
    return f"drawbox={place}:color={FILL}:t=fill:enable='{enabled}'"
