"""Find out whether files have changed: by their status if that is enough, else by the digest of their bytes.

A file counts as unchanged if its kind, size, inode and two times (of its content and of its status) are the same. A
copy that keeps its modification time has another inode or another change time, which no program can set. One doubt is
left, known from version control: a file written just before its status was read can be written again within one tick
of the clock. The digest of such a young file is not stored, so its bytes are read again. The clock is the file
system's, which need not be this machine's.
"""

# A store has hundreds of thousands of files, and paths take longer to make than to look up.
# ruff: noqa: PTH114, PTH116, PTH117, PTH118, PTH123
from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from hashlib import file_digest, sha256
from pathlib import Path
from tempfile import TemporaryFile
from typing import Protocol

YOUNG_NS = 2_000_000_000
"""The coarsest tick of a file system in use: the two seconds of FAT."""
MISSING = "missing"


class DigestTable(Protocol):
    """Stores the digest of each file beside the status that the file had."""

    def digest_of_file(self, path: str, status: str) -> str | None:
        """Return the stored digest of a file. None if there is none, or if the file had another status then."""

    def store_digest_of_file(self, path: str, status: str, digest: str) -> None:
        """Store the digest of a file that has this status."""


class FileStates:
    """Digests of files and listings of folders. A path is relative to the store's folder, or absolute."""

    def __init__(self, store: Path, table: DigestTable, clock_ns: int) -> None:
        """`clock_ns` is the time of the file system: files written about then or later count as young."""
        self._store, self._table = os.fspath(store), table
        self._young_from_ns = clock_ns - YOUNG_NS
        self._linked: dict[str, bool] = {}

    def digest(self, path: str) -> str:
        """Return the SHA-256 of a file's bytes, or a word for a missing file or another kind of entry."""
        full = os.path.join(self._store, path)
        try:
            found = os.stat(full)
        except (FileNotFoundError, NotADirectoryError):
            return MISSING
        except (OSError, ValueError):
            return "not readable"
        if not stat.S_ISREG(found.st_mode):  # reading a pipe would never end
            return "folder" if stat.S_ISDIR(found.st_mode) else "no regular file"
        status = status_of(found)
        digest = self._table.digest_of_file(path, status)
        if digest is None:
            try:
                digest = digest_of(full)
            except OSError:
                return "not readable"
            if not self.is_young(max(found.st_mtime_ns, found.st_ctime_ns)):
                self._table.store_digest_of_file(path, status, digest)
        return f"link to {digest}" if self._is_linked(path) else digest

    def is_young(self, time_ns: int) -> bool:
        """Return whether a file of this time may be written again within one tick of the clock."""
        return time_ns >= self._young_from_ns

    def names(self, folder: str) -> tuple[tuple[str, bool], ...]:
        """Return the path of every file below a folder, sorted, and whether it is a link. Links are not followed."""
        return tuple(sorted(_names(os.path.join(self._store, folder), "")))

    def digest_of_names(self, folder: str) -> str:
        """Return the SHA-256 of the paths of all files below a folder, without their bytes."""
        return sha256(
            repr((self._is_linked(folder), self.names(folder))).encode(errors="surrogateescape")
        ).hexdigest()

    def digest_of_tree(self, folder: str) -> str:
        """Return the SHA-256 of the names and the bytes of all files below a folder."""
        together = sha256()
        for name, is_link in self.names(folder):
            line = f"{name}\0{is_link}\0{self.digest(f'{folder}/{name}')}\n"
            together.update(line.encode(errors="surrogateescape"))
        return together.hexdigest()

    def _is_linked(self, path: str) -> bool:
        """Return whether a path within the store is a link, or leads through one. False for an absolute path."""
        if os.path.isabs(path):
            return False
        folder = path.rpartition("/")[0]
        if folder and folder not in self._linked:
            self._linked[folder] = self._is_linked(folder)
        return os.path.islink(os.path.join(self._store, path)) or self._linked.get(folder, False)


def status_of(found: os.stat_result) -> str:
    """Return the part of a file's status that changes whenever its bytes do."""
    return f"{found.st_mode} {found.st_size} {found.st_mtime_ns} {found.st_ctime_ns} {found.st_ino}"


def digest_of(path: str | Path) -> str:
    """Return the SHA-256 of a file's bytes, in hexadecimal. Raises OSError."""
    with open(path, "rb") as file:
        return file_digest(file, "sha256").hexdigest()


def clock_of_disk(folder: Path) -> int:
    """Return the time by the clock that stamps files in a folder, in nanoseconds. Raises OSError."""
    with TemporaryFile(dir=folder) as file:
        return os.fstat(file.fileno()).st_mtime_ns


def _names(folder: str, within: str) -> Iterator[tuple[str, bool]]:
    """Yield the files below a folder. Skip names that begin with a dot."""
    try:
        with os.scandir(folder) as listed:
            entries = [entry for entry in listed if not entry.name.startswith(".")]
    except OSError:
        return
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            yield within + entry.name + "/", False
            yield from _names(f"{folder}/{entry.name}", f"{within}{entry.name}/")
        else:
            yield within + entry.name, entry.is_symlink()
