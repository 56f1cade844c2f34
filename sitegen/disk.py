"""Write files atomically and durably, flush them to disk, and lock a folder."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""Error numbers for a full disk, a full quota, or a file that is too large."""


def write_whole(target: Path, content: bytes, *, lasting: bool = False) -> None:
    """Write a file atomically: a reader sees either the old or the new file, even after a loss of power.

    If `lasting`, the new file is on the disk when this returns. Raises OSError.
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
    """Return the path of a temporary file or folder beside the target. It is renamed to the target when complete."""
    return target.with_name(f".{target.name}.{os.getpid()}")


def flush(path: Path) -> None:
    """Flush a file or folder to the disk. Folders are skipped on systems that cannot open them."""
    if os.name == "nt" and path.is_dir():
        return
    descriptor = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextmanager
def one_at_a_time(folder: Path, busy: Callable[[], None] = lambda: None) -> Iterator[None]:
    """Hold a lock on a folder, after waiting for another process that holds it. A killed process loses its lock.

    `busy` is called before the wait, if there is one.
    """
    with ExitStack() as stack:
        # No locks on this system or file system, or no permission to open the folder.
        with suppress(ImportError, OSError):
            import fcntl

            descriptor = os.open(folder, os.O_RDONLY)
            stack.callback(os.close, descriptor)
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                busy()
                fcntl.flock(descriptor, fcntl.LOCK_EX)
        yield
