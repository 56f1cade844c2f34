"""Write files atomically and durably, flush them to disk, and lock a folder."""

from __future__ import annotations

import errno
import os
import shutil
import stat
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


def copy_whole(source: Path, target: Path) -> None:
    """Copy a file atomically and durably, without holding it in memory. Raises OSError."""
    half = half_of(target)
    try:
        shutil.copyfile(source, half)
        flush(half)
        half.replace(target)
    finally:
        half.unlink(missing_ok=True)
    flush(target.parent)


def set_aside(path: Path) -> Path:
    """Rename a file or folder to its aside name, replacing what was set aside before. Return the new path."""
    aside = path.with_name(f"{path.name}.set-aside")
    with suppress(OSError):
        aside.unlink(missing_ok=True)
    try:
        path.rename(aside)
    except OSError:  # a folder was set aside before
        aside = path.with_name(f"{path.name}.set-aside.{os.getpid()}")
        path.rename(aside)
    return aside


def make_room_for_file(file: Path, warn: Callable[[str], None]) -> None:
    """Set aside anything that is not a file at the path of a cache file, with one line for `warn`."""
    with suppress(FileNotFoundError):
        if not stat.S_ISREG(file.lstat().st_mode):
            warn(f"{file} is not a regular file: set aside as {set_aside(file).name}; everything is made again")


def make_cache_folder(folder: Path, warn: Callable[[str], None]) -> None:
    """Make a folder of the cache. Set aside anything else at its path, with one line for `warn`."""
    if os.path.lexists(folder) and not folder.is_dir():
        aside = set_aside(folder)
        warn(f"{folder} is not a folder: set aside as {aside.name}; everything is made again")
    folder.mkdir(parents=True, exist_ok=True)


def read_regular_file(path: Path) -> bytes:
    """Return the bytes of a file. Raises OSError for anything else, such as a link or a pipe."""
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0))
    with os.fdopen(descriptor, "rb") as file:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, "not a regular file", str(path))
        return file.read()


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
