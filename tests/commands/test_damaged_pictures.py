"""A picture that rots in the cache is never published: found by its digest, whatever its size and time say."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.builders import write_store
from tests.conftest import run_sitegen


def rot(file: Path) -> None:
    """Change 200 bytes of a file, as a failing disk may, with its size and its time of change kept."""
    times, content = file.stat(), bytearray(file.read_bytes())
    for place in range(300, 500):
        content[place] ^= 0x55
    with file.open("r+b") as opened:
        opened.write(content)
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))


def pictures_of(store: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in sorted((store / "published/pictures").iterdir())}


@pytest.mark.parametrize("is_edited", [True, False])
def test_a_rotten_picture_is_made_again_and_published_whole(tmp_path: Path, is_edited: bool):
    """The published picture is a hard link to the one in the cache, so that both rot together."""
    store = write_store(tmp_path / "store")
    assert run_sitegen("build", store).returncode == 0
    whole = pictures_of(store)
    for name in whole:
        rot(store / "published/pictures" / name)
    if is_edited:
        record = next((store / "vehicles").iterdir()) / "inspection.yaml"
        record.write_text(record.read_text("utf-8") + "\n# Looked over.\n", "utf-8")
    done = run_sitegen("build", store)
    assert (done.returncode, "2 of 2 made" in done.stderr) == (0, True), done.stderr
    assert pictures_of(store) == whole
