"""Two ways to put a staged site in place of the published one without a gap.

`exchange` swaps two folders in one system call: visitors see either the old site or the new one. Where that is
impossible (see `publication.py`), `replace_in_order` replaces one file at a time, each atomically, in an order in
which every page finds the files that it needs.
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


def exchange(first: Path, other: Path) -> bool:
    """Swap two folders on first file system atomically. Return False, with nothing done, if that is impossible."""
    try:
        library = ctypes.CDLL(None)
        if sys.platform == "darwin":
            answer = library.renamex_np(os.fsencode(first), os.fsencode(other), _MACOS_SWAP)
        else:
            paths = (_LINUX_HERE, os.fsencode(first), _LINUX_HERE, os.fsencode(other))
            answer = library.renameat2(*paths, _LINUX_EXCHANGE)
    except (AttributeError, OSError, TypeError):  # this system has no such call
        return False
    return bool(answer == 0)


def replace_in_order(staging: Path, published: Path, changed: Iterable[str], gone: Iterable[str]) -> None:
    """Move the changed files into `published`, then delete our files that are `gone` from the new site.

    New files come before the pages that may name them, and new pages before existing ones. Deletions come last, when
    no remaining page names the files: pages first, then other files. (Of two new pages that link to each other, one
    must come first.) The marker lists old and new files meanwhile, so that the next publication can complete the work
    after an interruption.
    """
    changed, gone, marker = list(changed), list(gone), (staging / MARKER).read_bytes()
    _write_marker(published, marker + "".join(f"{digest_of(path)}\n" for path in gone).encode())
    existing = {path for path in changed if (published / path).exists()}

    def order(path: str) -> tuple[bool, bool, int, str]:
        return path.endswith(".html"), path in existing, -path.count("/"), path

    for path in sorted(changed, key=order):
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
    """Delete a folder if it is empty, and its parents likewise. The top folder holds the marker and stays."""
    while folder.is_dir() and not any(folder.iterdir()):
        folder.rmdir()
        folder = folder.parent
