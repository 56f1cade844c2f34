"""A shelf gives back what was put in, also when it has outgrown the memory that it is allowed."""

from __future__ import annotations

import random
from pathlib import Path

from sitegen.shelf import IN_MEMORY, Shelf


def test_what_is_put_in_comes_back_and_no_file_is_seen(tmp_path: Path):
    """Noise cannot be packed, so that one piece more than fits is enough for a file, which has no name on Linux."""
    dice, shelf, plain = random.Random(1), Shelf(tmp_path), {}
    for number, length in enumerate((0, 1, 10_000, IN_MEMORY, 20_000)):
        shelf[str(number)] = plain[str(number)] = dice.randbytes(length)
    shelf["1"] = plain["1"] = b"put in again"
    del shelf["2"], plain["2"]
    assert dict(shelf) == plain
    assert list(tmp_path.iterdir()) == []
