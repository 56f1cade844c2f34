"""Publish a site so that its folder holds a complete site at every instant, even after a crash or with a full disk.

The new site is first written beside the published one and flushed to disk. Then the two folders are exchanged in one
step, which Linux and macOS offer as a system call. A symbolic link to the newest of several folders would also be
atomic, but some tools that copy a site do not follow links, and some systems restrict who may create them.

The exchange is impossible on other systems and some file systems, in a folder whose parent is not writable, in a
mount point, and in a folder that also holds files of others, which must not move. In these cases the staged files
replace the old ones one by one, in an order that keeps every page complete (`swapping.py`).

An exchange keeps the folder's path but not its inode. A program that holds the folder itself open, such as a
container with this folder as a bind mount, should be given the store's folder instead.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePosixPath

from sitegen.disk import flush, one_at_a_time
from sitegen.pages.site import Site
from sitegen.publishing.marker import MARKER, FolderContents, Marker, has_foreign_files, scan_folder
from sitegen.publishing.retention import retained_files
from sitegen.publishing.staging import stage
from sitegen.publishing.swapping import exchange, replace_in_order
from sitegen.publishing.target import folder_problem, ownership_problem, problem_of_error
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class Published:
    """A finished publication: the folder, and the paths that are changed (or new) and removed."""

    folder: Path
    changed: tuple[str, ...]
    unchanged: int
    removed: tuple[str, ...]


def publish(
    site: Site,
    to: Path,
    today: date,
    first: Callable[[], None] | None = None,
    known: Mapping[str, str] | None = None,
) -> Published | Problem:
    """Publish a site to a folder. Return the publication, or a problem; then the folder is unchanged.

    `today` decides how long dropped files have been retained. `first` is called when the new site is complete on the
    disk and not yet visible. `known` are the digests of published pages that are unmodified since, by path; a page
    with the same digest is not read again.
    Raises ValueError if a path of the site would leave the folder, which is a bug of ours.
    """
    for path in site.paths():
        parts = PurePosixPath(path).parts
        if not parts or path.startswith(("/", MARKER)) or ".." in parts:
            raise ValueError(f"{path!r} is not a path within a site")
    to = to.resolve()
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with one_at_a_time(to.parent):
            if problem := ownership_problem(to):
                return problem
            contents = scan_folder(to)
            return _conflicting_file(site, to, contents) or _publish(site, to, contents, today, first, known)
    except OSError as fault:
        return problem_of_error(fault, to)


def _conflicting_file(site: Site, to: Path, contents: FolderContents) -> Problem | None:
    """Return a problem if the site needs a path that a file of somebody else occupies, else None."""
    if not contents.foreign:
        return None
    needed = {str(place) for path in site.paths() for place in (PurePosixPath(path), *PurePosixPath(path).parents)}
    if taken := sorted(needed & contents.foreign):
        found = "a file that sitegen did not publish, at an address that the site needs"
        return folder_problem(to / taken[0], found, "move or rename that file; nothing was touched")
    return None


def _publish(
    site: Site,
    to: Path,
    contents: FolderContents,
    today: date,
    first: Callable[[], None] | None,
    known: Mapping[str, str] | None,
) -> Published:
    marker, now = contents.marker or Marker(), set(site.paths())
    dropped = contents.ours - now
    retained = retained_files(marker, dropped, today)
    gone = dropped - retained.keys()
    with _staging_folder(to) as staging:
        changed = stage(site, to, staging, retained, known)
        if first:
            first()
        has_dropped = gone or any(state.publications == 1 for state in retained.values())
        is_new = changed or has_dropped or not to.exists()
        if is_new and not (staging.parent == to.parent and _publish_atomically(staging, to)):
            replace_in_order(staging, to, changed, gone)
    return Published(to, tuple(sorted(changed)), len(now - changed), tuple(sorted(gone)))


def _publish_atomically(staging: Path, to: Path) -> bool:
    """Replace the published folder by the staged one in one step. Return False if that is impossible."""
    if not to.exists():
        staging.rename(to)
    else:
        shutil.copymode(to, staging)
        if has_foreign_files(to) or not exchange(staging, to):
            return False
    flush(to.parent)
    return True


@contextmanager
def _staging_folder(to: Path) -> Iterator[Path]:
    """Create an empty folder on the same file system as `to`, beside or inside it, and delete it afterwards."""
    beside, within = to.parent / f".{to.name}{MARKER}-new", to / f"{MARKER}-new"
    may_be_beside = os.access(to.parent, os.W_OK) and not os.path.ismount(to)
    staging = beside if may_be_beside or not to.exists() else within
    for leftover in (beside, within):  # left by a publication that was killed
        shutil.rmtree(leftover, ignore_errors=True)
    staging.mkdir()
    try:
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)
