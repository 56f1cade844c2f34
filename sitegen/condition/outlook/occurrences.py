"""How often an item comes in a stretch of time: the least and the most, where first need and repeat are ranges.

Whole ticks of time. A stretch is closed at its start and open at its end.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Needs:
    """When an item is first needed, and how long it then lasts each time; an end that nobody can name is None."""

    earliest: int
    latest: int | None
    repeat_low: int | None = None
    """None: it does not come again."""
    repeat_high: int | None = None

    def __post_init__(self) -> None:
        """Raise ValueError for what would come without end at one moment."""
        if self.repeat_low is not None and self.repeat_low < 1:
            raise ValueError("what is renewed must last at least one unit of distance or one month")


def least_times(needs: Needs, start: int, end: int) -> int:
    """Return how often it comes in [start, end) at the least.

    What has no latest end may never come, and what may last for ever comes but once. Else either none comes before
    the start, the first as late as may be; or the last before it comes as late as may be. From there on it lasts as
    long as it may. Need number k, from 0, comes between earliest + k * repeat_low and
    latest + k * repeat_high, so the last before the start is the largest k whose earliest end lies before it.

    First between 3 and 9, then every 6 to 12: in [0, 12) at least 1, in [12, 24) at least 1.
    """
    if needs.latest is None:
        return 0
    if needs.repeat_low is None or needs.repeat_high is None:
        return int(start <= needs.earliest and needs.latest < end)
    counts = []
    if needs.latest >= start:
        counts.append(_steps(needs.latest, end, needs.repeat_high))
    if needs.earliest < start:
        number = (start - 1 - needs.earliest) // needs.repeat_low
        last = min(needs.latest + number * needs.repeat_high, start - 1)
        counts.append(_steps(last, end, needs.repeat_high) - 1)
    return min(counts)


def most_times(needs: Needs, start: int, end: int) -> int:
    """Return how often it comes in [start, end) at the most.

    The first that can still come at the start or after it comes as early as may be, and lasts as short as it may.

    First between 3 and 9, then every 6 to 12: in [0, 12) at most 2 (3 and 9), in [12, 24) at most 2 (12 and 18).
    """
    if needs.repeat_low is None:
        return int(needs.earliest < end and (needs.latest is None or needs.latest >= start))
    if needs.latest is None or needs.latest >= start:
        number = 0
    else:
        number = 1 if needs.repeat_high is None else -((needs.latest - start) // needs.repeat_high)
    first = max(start, needs.earliest + number * needs.repeat_low)
    return _steps(first, end, needs.repeat_low)


def _steps(first: int, end: int, step: int) -> int:
    """Return how many of first, first + step, ... lie before `end`."""
    return max(-((first - end) // step), 0)
