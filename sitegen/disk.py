"""What several rooms ask of the disk: a file whole or not at all, on the disk for certain, one at a time."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""Errors of a disk, a share of it or a file that is full."""


def write_whole(target: Path, content: bytes, *, lasting: bool = False) -> None:
    """Write a file so that whoever looks finds the old one or the new one, whole, even after a loss of power.

    A `lasting` one is the new one from when this returns, whatever happens then. Raises OSError.
    """
    half = half_of(target)
    try:
        half.write_bytes(content)
        flush(half)
        half.replace(target)
    finally:
        half.unlink(missing_ok=True)
    if lasting:
        flush(target.parent)


def half_of(target: Path) -> Path:
    """Return where a file, or a folder, is made before it takes its place in one step; no reader looks there."""
    return target.with_name(f".{target.name}.{os.getpid()}")


def flush(path: Path) -> None:
    """Wait until a file or folder is on the disk, not only promised to it. Not every system can open a folder."""
    if os.name == "nt" and path.is_dir():
        return
    descriptor = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextmanager
def one_at_a_time(folder: Path, busy: Callable[[], None] = lambda: None) -> Iterator[None]:
    """Wait until nobody else is at work in the folder like this. The system ends the lock even if we are killed.

    `busy` is called where somebody is, before the wait.
    """
    with ExitStack() as stack:
        with suppress(ImportError, OSError):  # a system or file system without locks, or a folder we may not open
            import fcntl

            descriptor = os.open(folder, os.O_RDONLY)
            stack.callback(os.close, descriptor)
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                busy()
                fcntl.flock(descriptor, fcntl.LOCK_EX)
        yield
