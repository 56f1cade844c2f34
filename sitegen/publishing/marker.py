"""The marker that a publication leaves in its folder: which of the files there are ours, and which are not.

A webmaster may keep files of their own beside ours (a host's settings, a domain name, a version history). What the
marker does not list is theirs, and stays.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

MARKER = ".sitegen"
FIRST_LINE = "This folder is published by sitegen. It replaces the files listed here and leaves all others alone."


def marker_text(paths: Iterable[str]) -> bytes:
    """Return what the marker says of a publication that holds these paths."""
    return "\n".join([FIRST_LINE, *sorted(paths), ""]).encode()


def published_paths(folder: Path) -> set[str] | None:
    """Return the paths that we published to a folder, without the marker; None if the folder was not made by us."""
    try:
        first, *paths = (folder / MARKER).read_text("utf-8").splitlines()
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return None
    return set(paths) if first == FIRST_LINE else None


def published_pages(folder: Path) -> set[str]:
    """Return the paths of the pages that we published to a folder: links to them may have been sent."""
    return {path for path in published_paths(folder) or () if path.endswith(".html")}


def strangers(folder: Path) -> set[str]:
    """Return the paths of all files and links in a folder that we did not publish."""
    found = set()
    for place, folders, files in os.walk(folder):
        here = Path(place)
        links = [name for name in folders if (here / name).is_symlink()]
        found |= {(here / name).relative_to(folder).as_posix() for name in [*files, *links]}
    return {path for path in found - (published_paths(folder) or set()) if not path.startswith(MARKER)}
