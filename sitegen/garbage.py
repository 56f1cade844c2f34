"""How often Python looks for what nobody holds any more."""

from __future__ import annotations

import gc


def collect_garbage_seldom() -> None:
    """Look for circles of objects that nobody holds only after so many new ones.

    Records and what is judged of them stay as long as a command runs: to go through them after every 700 new objects,
    as Python does by itself, is half of the time of reading them.
    """
    gc.set_threshold(50_000, 20, 20)
