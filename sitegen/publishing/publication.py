"""Publishes a site so that its folder holds a whole one at every instant: killed, out of room or out of power.

How: the complete new site is first written beside the published one and brought to the disk; only then does it take
the place of the old one, in one step, by the exchange of two folders that Linux and macOS offer. A link that points
to the newest of several folders would do the same, but programs that copy or pack a site stumble over links, and
some systems do not let everybody make them.

Three cases cannot have the exchange: a system or file system without it; a folder whose parent we may not write to,
or which is a mount of its own; and a folder that also holds files that are not ours, which must not even move. There,
the same staged files replace the old ones one by one, in an order that keeps every page whole (`swapping.py`).

Only the path of the folder stays the same across an exchange. A program that holds on to the folder itself, such as
a container into which exactly this folder is mounted, should be given the store's folder instead.
"""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePosixPath

from sitegen.disk import flush, one_at_a_time
from sitegen.pages.site import Site
from sitegen.publishing.marker import MARKER, Marker, published_paths, read_marker, strangers
from sitegen.publishing.staging import stage
from sitegen.publishing.staying import staying
from sitegen.publishing.swapping import exchange, replace_in_order
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class Published:
    """A finished publication: where, and which of its files are new or changed, or gone, by path in the site."""

    folder: Path
    changed: tuple[str, ...]
    unchanged: int
    removed: tuple[str, ...]


def publish(site: Site, to: Path, today: date, first: Callable[[], None] | None = None) -> Published | Problem:
    """Publish a whole site to a folder, or say why not; then the folder still holds the site that it held.

    `today` tells how long what fell away has stayed. `first` is done when the new site is whole on the disk, before
    it takes its place: what must be on record of it.
    Raises ValueError if a path of the site would leave the folder: that is our own mistake.
    """
    for path in site.paths():
        parts = PurePosixPath(path).parts
        if not parts or path.startswith(("/", MARKER)) or ".." in parts:
            raise ValueError(f"{path!r} is not a path within a site")
    to = to.resolve()
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with one_at_a_time(to.parent):
            return _in_the_way(site, to) or _publish(site, to, today, first)
    except OSError as fault:
        return _explain(fault, to)


def _in_the_way(site: Site, to: Path) -> Problem | None:
    """Return a problem if publishing to this folder would destroy what somebody else put there."""
    if not to.exists():
        return None
    if not to.is_dir():
        return _problem(to, "a file where the site's folder should be", "name a folder with --to")
    if not os.access(to, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(to))
    foreign = strangers(to)
    if foreign and read_marker(to) is None:
        found = "a folder with files in it that sitegen did not publish"
        return _problem(to, found, "name an empty or a new folder with --to; nothing in this one was touched")
    needed = {str(place) for path in site.paths() for place in (PurePosixPath(path), *PurePosixPath(path).parents)}
    if taken := sorted(foreign & needed):
        found = "a file that sitegen did not publish, at an address that the site needs"
        return _problem(to / taken[0], found, "move or rename that file; nothing was touched")
    return None


def _publish(site: Site, to: Path, today: date, first: Callable[[], None] | None) -> Published:
    marker, now = read_marker(to) or Marker(), set(site.paths())
    fallen = (published_paths(to) or set()) - now
    stays = staying(marker, fallen, today)
    gone = fallen - stays.keys()
    with _staging_folder(to) as staging:
        changed = stage(site, to, staging, stays)
        if first:
            first()
        has_fallen = gone or any(how.publications == 1 for how in stays.values())
        is_new = changed or has_fallen or not to.exists()
        if is_new and not (staging.parent == to.parent and _put_in_place(staging, to)):
            replace_in_order(staging, to, changed, gone)
    return Published(to, tuple(sorted(changed)), len(now - changed), tuple(sorted(gone)))


def _put_in_place(staging: Path, to: Path) -> bool:
    """Put the staged folder in the place of the published one in one step; return False where that cannot be."""
    if not to.exists():
        staging.rename(to)
    else:
        shutil.copymode(to, staging)
        if strangers(to) or not exchange(staging, to):
            return False
    flush(to.parent)
    return True


@contextmanager
def _staging_folder(to: Path) -> Iterator[Path]:
    """Make an empty folder on the same file system as `to`: beside it, or else within it. It is gone afterwards."""
    beside, within = to.parent / f".{to.name}{MARKER}-new", to / f"{MARKER}-new"
    may_be_beside = os.access(to.parent, os.W_OK) and not os.path.ismount(to)
    staging = beside if may_be_beside or not to.exists() else within
    for leftover in (beside, within):  # of a publication that was killed
        shutil.rmtree(leftover, ignore_errors=True)
    staging.mkdir()
    try:
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _explain(fault: OSError, to: Path) -> Problem:
    """Say what stood in the way in the words of the person who has to clear it."""
    untouched = "the site that was there is still there, whole"
    if fault.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return _problem(to, "no room left on the disk", f"make room and build again; {untouched}")
    if fault.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        mend = f"allow writing to it, or name another folder with --to; {untouched}"
        return _problem(to, "a folder that we may not write to", mend)
    place = f" ({fault.filename})" if fault.filename else ""
    return _problem(to, f"{fault.strerror}{place}", f"mend this and build again; {untouched}")


def _problem(place: Path, found: str, mend: str) -> Problem:
    return Problem(str(place), 0, 0, "", found, "a folder that the site can be published to", mend)
