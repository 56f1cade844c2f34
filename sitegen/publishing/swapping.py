"""Two ways to put a staged site in the place of the published one, so that at no instant the place is without a site.

`exchange` swaps two folders in one step of the operating system: everybody sees either the old site or the new one.
Where that is not to be had (see `publication.py`), `replace_in_order` replaces file by file, each in one step: each
page is then old or new, and what a page needs is there before the page is.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterable
from pathlib import Path

from sitegen.disk import flush
from sitegen.publishing.marker import MARKER, digest_of

_LINUX_HERE = -100  # AT_FDCWD of <fcntl.h>: paths count from the working folder
_LINUX_EXCHANGE = 2  # RENAME_EXCHANGE of <linux/fs.h>; see renameat2(2)
_MACOS_SWAP = 2  # RENAME_SWAP of <sys/stdio.h>; see renamex_np(2)


def exchange(one: Path, other: Path) -> bool:
    """Swap two folders on one file system in a single step; return False, with nothing done, where that cannot be."""
    try:
        library = ctypes.CDLL(None)
        if sys.platform == "darwin":
            answer = library.renamex_np(os.fsencode(one), os.fsencode(other), _MACOS_SWAP)
        else:
            paths = (_LINUX_HERE, os.fsencode(one), _LINUX_HERE, os.fsencode(other))
            answer = library.renameat2(*paths, _LINUX_EXCHANGE)
    except (AttributeError, OSError, TypeError):  # no such call on this system
        return False
    return bool(answer == 0)


def replace_in_order(staging: Path, published: Path, changed: Iterable[str], gone: Iterable[str]) -> None:
    """Move the changed files into `published`, then take away those of ours that are `gone` from the new site.

    New files come before pages that may name them, and new pages before pages that were there already. What falls
    away goes last, when no page that stays names it any more: pages first, then what they needed. (Of two new pages
    that name each other one must come first, though no other page leads to it yet.) If we are stopped midway, the
    marker already lists old and new, so that the next publication completes the work.
    """
    changed, gone, marker = list(changed), list(gone), (staging / MARKER).read_bytes()
    _write_marker(published, marker + "".join(f"{digest_of(path)}\n" for path in gone).encode())
    there = {path for path in changed if (published / path).exists()}

    def turn(path: str) -> tuple[bool, bool, int, str]:
        return path.endswith(".html"), path in there, -path.count("/"), path

    for path in sorted(changed, key=turn):
        (published / path).parent.mkdir(parents=True, exist_ok=True)
        (staging / path).replace(published / path)
    for path in sorted(gone, key=lambda path: (not path.endswith(".html"), path)):
        (published / path).unlink(missing_ok=True)
        _remove_empty_folders((published / path).parent)
    for folder, _, _ in os.walk(published, topdown=False):
        flush(Path(folder))
    _write_marker(published, marker)


def _write_marker(published: Path, marker: bytes) -> None:
    fresh = published / f"{MARKER}-list"
    fresh.write_bytes(marker)
    flush(fresh)
    fresh.replace(published / MARKER)


def _remove_empty_folders(folder: Path) -> None:
    """Take away a folder that has become empty, and those above it. The topmost is never empty: it has the marker."""
    while folder.is_dir() and not any(folder.iterdir()):
        folder.rmdir()
        folder = folder.parent
