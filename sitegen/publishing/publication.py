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

import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePosixPath

from sitegen.disk import flush, one_at_a_time
from sitegen.pages.site import Site
from sitegen.publishing.marker import MARKER, FoundThere, Marker, has_strangers, look_at
from sitegen.publishing.staging import stage
from sitegen.publishing.staying import staying
from sitegen.publishing.swapping import exchange, replace_in_order
from sitegen.publishing.target import explained, not_ours, refused
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class Published:
    """A finished publication: where, and which of its files are new or changed, or gone, by path in the site."""

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
    """Publish a whole site to a folder, or say why not; then the folder still holds the site that it held.

    `today` tells how long what fell away has stayed. `first` is done when the new site is whole on the disk, before
    it takes its place: what must be on record of it. `known` are the imprints of published pages, by path, where
    nobody has touched them since: what has the same is not read again.
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
            if problem := not_ours(to):
                return problem
            there = look_at(to)
            return _in_the_way(site, to, there) or _publish(site, to, there, today, first, known)
    except OSError as fault:
        return explained(fault, to)


def _in_the_way(site: Site, to: Path, there: FoundThere) -> Problem | None:
    """Return a problem if publishing to this folder would destroy what somebody else put there."""
    if not there.strangers:
        return None
    needed = {str(place) for path in site.paths() for place in (PurePosixPath(path), *PurePosixPath(path).parents)}
    if taken := sorted(needed & there.strangers):
        found = "a file that sitegen did not publish, at an address that the site needs"
        return refused(to / taken[0], found, "move or rename that file; nothing was touched")
    return None


def _publish(
    site: Site,
    to: Path,
    there: FoundThere,
    today: date,
    first: Callable[[], None] | None,
    known: Mapping[str, str] | None,
) -> Published:
    marker, now = there.marker or Marker(), set(site.paths())
    fallen = there.ours - now
    stays = staying(marker, fallen, today)
    gone = fallen - stays.keys()
    with _staging_folder(to) as staging:
        changed = stage(site, to, staging, stays, known)
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
        if has_strangers(to) or not exchange(staging, to):
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
