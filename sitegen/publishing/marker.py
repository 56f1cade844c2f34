"""The marker that a publication leaves in its folder: which of the files there are ours, and which are not.

A webmaster may keep files of their own beside ours (a host's settings, a domain name, a version history). What the
marker does not list is theirs, and stays. It is served with the rest, so it holds digests of paths: a page that
nothing leads to is not given away by it.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

MARKER = ".sitegen"
FIRST_LINE = "This folder is published by sitegen. It replaces the files listed here and leaves all others alone."
_LASTING = "lasting"
_ENTRY = re.compile(r"[0-9a-f]{32}( |$)")
"""What a line is; before version 0.2 a line was the path itself."""


@dataclass(frozen=True)
class Fallen:
    """Since when a file that is still there belongs to the site no more."""

    publications: int
    """How many publications were made without it."""
    since: date


@dataclass(frozen=True)
class Marker:
    """What the last publication says of its folder. Paths stand as their digests."""

    ours: frozenset[str] = frozenset()
    lasting: frozenset[str] = frozenset()
    """Files that are to stay for a while when they fall away."""
    fallen: Mapping[str, Fallen] | None = None


def digest_of(path: str) -> str:
    """Return what stands for a path: the first 128 bits of its SHA-256 (FIPS 180-4), as hexadecimal digits."""
    return hashlib.sha256(path.encode()).hexdigest()[:32]


def marker_text(
    paths: Iterable[str], lasting: Collection[str] = (), fallen: Mapping[str, Fallen] | None = None
) -> bytes:
    """Return what the marker says of a publication that holds these paths, and besides those that fell away."""
    present = (f"{digest_of(path)} {_LASTING}" if path in lasting else digest_of(path) for path in paths)
    gone = (f"{digest_of(path)} {how.publications} {how.since}" for path, how in (fallen or {}).items())
    return "\n".join([FIRST_LINE, *sorted([*present, *gone]), ""]).encode()


def read_marker(folder: Path) -> Marker | None:
    """Return what the marker of a folder says; None if the folder was not made by us."""
    try:
        first, *lines = (folder / MARKER).read_text("utf-8").splitlines()
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return None
    if first != FIRST_LINE:
        return None
    entries = [(line if _ENTRY.match(line) else digest_of(line)).partition(" ") for line in lines]
    return Marker(
        frozenset(digest for digest, _, _ in entries),
        frozenset(digest for digest, _, note in entries if note == _LASTING),
        {digest: fallen for digest, _, note in entries if note not in ("", _LASTING) and (fallen := _fallen(note))},
    )


def _fallen(note: str) -> Fallen | None:
    """Read `2 2026-11-26`; what somebody else wrote there counts for nothing."""
    publications, _, since = note.partition(" ")
    try:
        return Fallen(int(publications), date.fromisoformat(since))
    except ValueError:
        return None


@dataclass(frozen=True)
class FoundThere:
    """What stands in a folder, found by one walk: files and links, by path."""

    marker: Marker | None
    """None if the folder was not made by us."""
    ours: frozenset[str]
    """What we published, without the marker."""
    strangers: frozenset[str]
    """What somebody else put there."""


def look_at(folder: Path) -> FoundThere:
    """Return what stands in a folder; nothing where there is none."""
    marker = read_marker(folder)
    listed = frozenset() if marker is None else marker.ours
    ours, strangers = set(), set()
    for path in _files(folder):
        if digest_of(path) in listed:
            ours.add(path)
        elif not path.startswith(MARKER):
            strangers.add(path)
    return FoundThere(marker, frozenset(ours), frozenset(strangers))


def published_paths(folder: Path) -> frozenset[str]:
    """Return the paths in a folder that we published, without the marker; none if the folder was not made by us."""
    return look_at(folder).ours


def published_pages(folder: Path) -> set[str]:
    """Return the paths of the pages that we published to a folder: links to them may have been sent."""
    return {path for path in published_paths(folder) if path.endswith(".html")}


def is_published(folder: Path, path: str) -> bool:
    """Tell whether a file stands in a folder and is one that we published, without looking at the others."""
    marker = read_marker(folder)
    return marker is not None and digest_of(path) in marker.ours and (folder / path).is_file()


def has_strangers(folder: Path) -> bool:
    """Tell whether a folder holds a file or link that we did not publish."""
    marker = read_marker(folder) or Marker()
    return any(digest_of(path) not in marker.ours and not path.startswith(MARKER) for path in _files(folder))


def _files(folder: Path) -> Iterator[str]:
    """Yield the paths of all files and links in a folder; what cannot be looked into counts as empty."""
    waiting = [""]
    while waiting:
        here = waiting.pop()
        with suppress(OSError), os.scandir(f"{folder}/{here}") as entries:
            for entry in entries:
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(f"{here}{entry.name}/")
                else:
                    yield f"{here}{entry.name}"
