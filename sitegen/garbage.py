"""Thresholds of Python's garbage collector."""

from __future__ import annotations

import gc


def collect_garbage_seldom() -> None:
    """Raise the collector's thresholds, so that it searches for reference cycles less often.

    Records and findings stay in memory as long as a command runs. Searching them after every 700 new objects, the
    default, would take half of the time of reading them.
    """
    gc.set_threshold(50_000, 20, 20)
