"""Write a complete site into a staging folder, and flush it to disk."""

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
from sitegen.publishing.marker import MARKER, Retained, marker_text

FILE_MODE, FOLDER_MODE = 0o644, 0o755
"""Readable by everybody, because the web server usually runs as another user."""


def stage(
    site: Site,
    published: Path,
    staging: Path,
    retained: Mapping[str, Retained] | None = None,
    known: Mapping[str, str] | None = None,
) -> set[str]:
    """Write the site into the empty folder `staging`. Return the paths that differ from `published`.

    `retained` files are hard-linked from the published folder. `known` are the digests of published pages that are
    unmodified since, by path; a page with the same digest is not read.

    An unchanged file is a hard link to the published one. It takes no space and keeps its modification time, so that
    tools that copy by time and size send only changed files. A picture is a hard link into the cache if both are on
    one file system. Its name there is its SHA-256, against which it is verified. A store's video is copied.

    All files are made readable for everybody, whatever the umask. Raises OSError; only `staging` is changed.
    """
    paths = site.paths()
    folders = _make_folders(staging, (*paths, *(retained or ())))
    same_digest = {path for path, digest in (known or {}).items() if site.page_digests.get(path) == digest}
    for path in same_digest:
        _hard_link(f"{published}/{path}", f"{staging}/{path}")
    others = [path for path in paths if path not in same_digest]
    changed = {path for path in others if not _link_if_unchanged(site, path, published / path, staging / path)}
    for path in sorted(changed):
        target = staging / path
        if path in site.pages:
            target.write_bytes(site.pages[path])
        else:
            _copy_or_link(site.files[path], target, site.cache)
            digest = site.files[path].name if _is_in(site.cache, site.files[path]) else site.digests.get(path)
            if digest is not None:
                _verify_digest(site.files[path], target, digest)
    for path in retained or ():
        _hard_link(f"{published}/{path}", f"{staging}/{path}")
    (staging / MARKER).write_bytes(marker_text(paths, site.lasting, retained))
    for path in (*sorted(changed), MARKER):
        flush(staging / path)
    for path in (*others, *(retained or ()), MARKER):  # files with the same digest have this mode already
        _set_mode(staging / path, FILE_MODE)
    for folder in folders:
        _set_mode(folder, FOLDER_MODE)
        flush(folder)
    return changed


def _make_folders(staging: Path, paths: Iterable[str]) -> list[Path]:
    """Create the folders for these paths. Return them with the top folder, each child before its parent."""
    needed = {path.rpartition("/")[0] for path in paths}
    for folder in tuple(needed):
        while folder := folder.rpartition("/")[0]:
            needed.add(folder)
    inmost_last = sorted(needed - {""})
    for folder in inmost_last:
        os.mkdir(f"{staging}/{folder}")  # noqa: PTH102  # building thousands of Path objects takes longer than mkdir
    return [staging / folder for folder in (*reversed(inmost_last), "")]


def _link_if_unchanged(site: Site, path: str, published: Path, staged: Path) -> bool:
    """Hard-link an unchanged published file into the staging folder. Return False if it has changed."""
    try:
        status = published.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    if not stat.S_ISREG(status.st_mode):
        return False
    if path in site.pages:
        same = published.read_bytes() == site.pages[path]
    else:
        file = site.files[path]
        source_status = file.stat()
        same = os.path.samestat(source_status, status) or filecmp.cmp(file, published)
        if same and _is_in(site.cache, file) and source_status.st_mtime_ns == status.st_mtime_ns:
            published = file
    if same:
        _hard_link(published, staged)
    return same


def _copy_or_link(file: Path, target: Path, cache: Path | None) -> None:
    """Hard-link a file of the cache into the staging folder, or copy any other file."""
    if _is_in(cache, file):
        _hard_link(file, target)
        return
    shutil.copyfile(file, target)
    time = file.stat().st_mtime_ns  # the same time, so that the next comparison need not read the file
    os.utime(target, ns=(time, time))


def _verify_digest(file: Path, staged: Path, digest: str) -> None:
    with staged.open("rb") as content:
        if hashlib.file_digest(content, "sha256").hexdigest() != digest:
            raise OSError(errno.EBUSY, "a file that changed while the site was made", str(file))


def _is_in(cache: Path | None, file: Path) -> bool:
    return cache is not None and file.parent == cache


def _set_mode(place: Path, mode: int) -> None:
    if stat.S_IMODE(place.stat().st_mode) != mode:
        place.chmod(mode)


def _hard_link(published: Path | str, staged: Path | str) -> None:
    """Hard-link a file into the staging folder, or copy it where the file system has no hard links."""
    try:
        os.link(published, staged)
    except OSError:  # no hard links: copy the file with its modification time
        shutil.copy2(published, staged)
        flush(Path(staged))
