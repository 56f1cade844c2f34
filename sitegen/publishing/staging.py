"""Writes a whole site into a folder that nobody looks at yet, and makes sure that it has reached the disk."""

from __future__ import annotations

import errno
import filecmp
import hashlib
import os
import shutil
import stat
from collections.abc import Iterable, Mapping
from pathlib import Path

from sitegen.disk import flush
from sitegen.pages.site import Site
from sitegen.publishing.marker import MARKER, Fallen, marker_text

FILE_MODE, FOLDER_MODE = 0o644, 0o755
"""Whoever serves a site is seldom who built it."""


def stage(
    site: Site,
    published: Path,
    staging: Path,
    stays: Mapping[str, Fallen] | None = None,
    known: Mapping[str, str] | None = None,
) -> set[str]:
    """Write the site into the empty folder `staging`; return the paths that are not the same in `published`.

    What `stays` of the published site is taken over as it is. `known` are the imprints of published pages that nobody
    has touched since: what has the same is not read.

    A file that has not changed is the published file itself under a second name: it costs no room and keeps its
    time of change, so that a program that copies by time and size sends only what is new.
    So is a picture the one in the cache, where the two lie on one file system: whatever is done to the published one,
    the cache trusts its own by their digests and makes them again. A store's film is copied: there is no other.

    Every file may be read by whoever serves it, whatever the umask is.
    Raises OSError; by then nothing but `staging` has been touched.
    """
    paths = site.paths()
    folders = _make_folders(staging, (*paths, *(stays or ())))
    alike = {path for path, imprint in (known or {}).items() if site.imprints.get(path) == imprint}
    for path in alike:
        _again(f"{published}/{path}", f"{staging}/{path}")
    others = [path for path in paths if path not in alike]
    changed = {path for path in others if not _keep(site, path, published / path, staging / path)}
    for path in sorted(changed):
        target = staging / path
        if path in site.pages:
            target.write_bytes(site.pages[path])
        else:
            _take_over(site.files[path], target, site.cache)
            if path in site.digests:
                _see_that_it_is_as_read(site.files[path], target, site.digests[path])
    for path in stays or ():
        _again(f"{published}/{path}", f"{staging}/{path}")
    (staging / MARKER).write_bytes(marker_text(paths, site.lasting, stays))
    for path in (*sorted(changed), MARKER):
        flush(staging / path)
    for path in (*others, *(stays or ()), MARKER):  # what nobody has touched has the mode that it was given
        _allow(staging / path, FILE_MODE)
    for folder in folders:
        _allow(folder, FOLDER_MODE)
        flush(folder)
    return changed


def _make_folders(staging: Path, paths: Iterable[str]) -> list[Path]:
    """Make the folders that some paths lie in. Return them, and the topmost, each before what it lies in."""
    needed = {path.rpartition("/")[0] for path in paths}
    for folder in tuple(needed):
        while folder := folder.rpartition("/")[0]:
            needed.add(folder)
    inmost_last = sorted(needed - {""})
    for folder in inmost_last:
        os.mkdir(f"{staging}/{folder}")  # noqa: PTH102  # thousands of paths take longer to make than folders
    return [staging / folder for folder in (*reversed(inmost_last), "")]


def _keep(site: Site, path: str, published: Path, staged: Path) -> bool:
    """Give an unchanged published file a second name in the staging folder; return False if it has changed."""
    try:
        found = published.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    if not stat.S_ISREG(found.st_mode):
        return False
    if path in site.pages:
        same = published.read_bytes() == site.pages[path]
    else:
        file = site.files[path]
        made = file.stat()
        same = os.path.samestat(made, found) or filecmp.cmp(file, published)
        if same and _is_in(site.cache, file) and made.st_mtime_ns == found.st_mtime_ns:
            published = file
    if same:
        _again(published, staged)
    return same


def _take_over(file: Path, target: Path, cache: Path | None) -> None:
    """Put a file that exists already into the staging folder: the file itself if it is of the cache, else a copy."""
    if _is_in(cache, file):
        _again(file, target)
        return
    shutil.copyfile(file, target)
    time = file.stat().st_mtime_ns  # the same time, so that the next look need not read the file
    os.utime(target, ns=(time, time))


def _see_that_it_is_as_read(file: Path, staged: Path, digest: str) -> None:
    with staged.open("rb") as content:
        if hashlib.file_digest(content, "sha256").hexdigest() != digest:
            raise OSError(errno.EBUSY, "a file that changed while the site was made", str(file))


def _is_in(cache: Path | None, file: Path) -> bool:
    return cache is not None and file.parent == cache


def _allow(place: Path, mode: int) -> None:
    if stat.S_IMODE(place.stat().st_mode) != mode:
        place.chmod(mode)


def _again(published: Path | str, staged: Path | str) -> None:
    """Give a published file a second name in the staging folder."""
    try:
        os.link(published, staged)
    except OSError:  # a file system without second names: a copy with its time does as well
        shutil.copy2(published, staged)
        flush(Path(staged))
