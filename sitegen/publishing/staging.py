"""Writes a whole site into a folder that nobody looks at yet, and makes sure that it has reached the disk."""

from __future__ import annotations

import filecmp
import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from sitegen.disk import flush
from sitegen.pages.site import Site
from sitegen.publishing.marker import MARKER, Fallen, marker_text


def stage(site: Site, published: Path, staging: Path, stays: Mapping[str, Fallen] | None = None) -> set[str]:
    """Write the site into the empty folder `staging`; return the paths that are not the same in `published`.

    What `stays` of the published site is taken over as it is.

    A file that has not changed is the published file itself under a second name: it costs no room and keeps its
    time of change, so that a program that copies by time and size sends only what is new.
    Raises OSError; by then nothing but `staging` has been touched.
    """
    changed = {path for path in site.paths() if not _keep(site, path, published / path, staging / path)}
    for path in sorted(changed):
        target = staging / path
        target.parent.mkdir(parents=True, exist_ok=True)
        if path in site.pages:
            target.write_bytes(site.pages[path])
        else:
            shutil.copyfile(site.files[path], target)
            time = site.files[path].stat().st_mtime_ns  # the same time, so that the next look need not read the file
            os.utime(target, ns=(time, time))
    for path in stays or ():
        _again(published / path, staging / path)
    (staging / MARKER).write_bytes(marker_text(site.paths(), site.lasting, stays))
    for path in (*sorted(changed), MARKER):
        flush(staging / path)
    for folder, _, _ in os.walk(staging, topdown=False):
        flush(Path(folder))
    return changed


def _keep(site: Site, path: str, published: Path, staged: Path) -> bool:
    """Give an unchanged published file a second name in the staging folder; return False if it has changed."""
    if published.is_symlink() or not published.is_file():
        return False
    if path in site.pages:
        same = published.read_bytes() == site.pages[path]
    else:
        same = filecmp.cmp(site.files[path], published)
    if same:
        _again(published, staged)
    return same


def _again(published: Path, staged: Path) -> None:
    """Give a published file a second name in the staging folder."""
    staged.parent.mkdir(parents=True, exist_ok=True)
    try:
        staged.hardlink_to(published)
    except OSError:  # a file system without second names: a copy with its time does as well
        shutil.copy2(published, staged)
        flush(staged)
