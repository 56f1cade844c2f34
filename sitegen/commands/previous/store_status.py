"""Compare the status of every file with that of an earlier run, without reading the files.

A file counts as unchanged if its path, kind, size, inode and two times (of its content and of its status) are equal.
A copy that keeps its modification time has another inode, or another change time, which no program can set. One doubt
is left, known from version control: a file written just before its status was read can be written again within one
tick of the clock. The digest of such a young file is compared too. The clock is the file system's, which need not be
this machine's.
"""

from __future__ import annotations

import math
import os
import stat
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from operator import attrgetter
from pathlib import Path

from sitegen.engine.file_states import YOUNG_NS, digest_of


@dataclass(frozen=True)
class StoreStatus:
    """The status of all files of some places at one time."""

    status: str
    """SHA-256 of the status of all files."""
    young: Mapping[str, str]
    """SHA-256 of the content of each file that had just been written, by path."""

    def still_holds(self, now: StoreStatus) -> bool:
        """Return whether a later walk of the same places gives the same result. Raises OSError."""
        return self.status == now.status and all(digest_of(path) == digest for path, digest in self.young.items())


def walk(
    places: Iterable[Path],
    clock_ns: int | None = None,
    passed_over: Collection[str] = (),
    *,
    named_anew: bool = False,
) -> StoreStatus:
    """Return the status of files, and of all files in folders. Links are followed. Raises OSError.

    `clock_ns` is the time of the file system, or None if no file counts as young. Entries whose name is in
    `passed_over` are skipped. With `named_anew`, all files were just renamed or linked, which alone does not make
    them young.
    """
    status, young = sha256(), {}
    young_from_ns = math.inf if clock_ns is None else clock_ns - YOUNG_NS
    seen: set[tuple[int, int]] = set()
    for place in places:
        status.update(f"place {place}\n".encode(errors="surrogateescape"))
        for path, found in _files(place, passed_over, seen):
            mode, written_ns, changed_ns = found.st_mode, found.st_mtime_ns, found.st_ctime_ns
            if stat.S_ISDIR(mode):  # the status of its entries shows every change in it
                line = f"{path!r} {mode}\n"
            else:
                line = f"{path!r} {mode} {found.st_size} {written_ns} {changed_ns} {found.st_ino}\n"
            status.update(line.encode(errors="surrogateescape"))
            last_ns = written_ns if named_anew else max(written_ns, changed_ns)
            if last_ns > young_from_ns and stat.S_ISREG(mode):
                young[path] = digest_of(path)
    return StoreStatus(status.hexdigest(), young)


def _files(
    place: Path, passed_over: Collection[str], seen: set[tuple[int, int]]
) -> Iterator[tuple[str, os.stat_result]]:
    """Yield the path and status of a file, or of all files below a folder, in a fixed order."""
    try:
        found = place.stat()
    except FileNotFoundError:
        return
    if not stat.S_ISDIR(found.st_mode):
        yield str(place), found
        return
    folders = [(str(place), found)]
    while folders:
        folder, found = folders.pop()
        if (found.st_dev, found.st_ino) in seen and found.st_ino:  # a link to a folder that was visited already
            continue
        seen.add((found.st_dev, found.st_ino))
        with os.scandir(folder) as listed:
            entries = sorted(listed, key=attrgetter("name"))
        for entry in entries:
            if entry.name in passed_over:
                continue
            if entry.is_symlink():
                yield entry.path, entry.stat(follow_symlinks=False)
            try:
                found = entry.stat()
            except FileNotFoundError:  # a broken link
                continue
            if stat.S_ISDIR(found.st_mode):
                folders.append((entry.path, found))
            yield entry.path, found
