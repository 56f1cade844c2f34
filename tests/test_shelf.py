"""A shelf returns what was stored, also when it has outgrown its memory."""

from __future__ import annotations

import random
from pathlib import Path

from sitegen.shelf import IN_MEMORY, Shelf, packed


def test_what_is_put_in_comes_back_and_no_file_is_seen(tmp_path: Path):
    """Noise cannot be packed, so that one piece more than fits is enough for a file, which has no name on Linux."""
    dice, shelf, plain = random.Random(1), Shelf(tmp_path), {}
    for number, length in enumerate((0, 1, 10_000, IN_MEMORY, 20_000)):
        plain[str(number)] = dice.randbytes(length)
        shelf.put(str(number), plain[str(number)])
    plain["1"] = b"put there again"
    shelf.put("1", plain["1"])
    plain["5"] = plain["4"]
    shelf.put("5", packed(plain["5"]))
    assert dict(shelf) == plain
    alike = [name for name in shelf if shelf.imprints[name] == shelf.imprints["4"]]
    assert alike == ["4", "5"]
    for name in ("6", "7"):  # put after something was taken out, which leaves the file's place elsewhere
        assert shelf["2"] == plain["2"]
        plain[name] = dice.randbytes(1_000)
        shelf.put(name, plain[name])
        shelf.put(f"{name} again", plain[name])
        plain[f"{name} again"] = plain[name]
    assert dict(shelf) == plain
    assert list(tmp_path.iterdir()) == []
