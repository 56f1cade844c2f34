"""The marker file of a published folder: it lists which files in the folder sitegen published.

A webmaster may keep other files there (a host's settings, a domain name, a version history). Files that the marker
does not list are never touched. The marker is public, so it lists digests of paths and does not reveal pages that
nothing links to.
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
"""Pattern of an entry. Before version 0.2 an entry was the path itself."""


@dataclass(frozen=True)
class Retained:
    """A file that stays in the folder for a while after it was dropped from the site."""

    publications: int
    """Number of publications made without it."""
    since: date


@dataclass(frozen=True)
class Marker:
    """The contents of a marker. Paths are represented by their digests."""

    ours: frozenset[str] = frozenset()
    lasting: frozenset[str] = frozenset()
    """Files to retain for a while if they are dropped from the site."""
    retained: Mapping[str, Retained] | None = None


def digest_of(path: str) -> str:
    """Return the digest that represents a path: the first 128 bits of its SHA-256 (FIPS 180-4), in hexadecimal."""
    return hashlib.sha256(path.encode()).hexdigest()[:32]


def marker_text(
    paths: Iterable[str], lasting: Collection[str] = (), retained: Mapping[str, Retained] | None = None
) -> bytes:
    """Return the marker for a publication with these paths and these retained files."""
    present = (f"{digest_of(path)} {_LASTING}" if path in lasting else digest_of(path) for path in paths)
    dropped = (f"{digest_of(path)} {state.publications} {state.since}" for path, state in (retained or {}).items())
    return "\n".join([FIRST_LINE, *sorted([*present, *dropped]), ""]).encode()


def read_marker(folder: Path) -> Marker | None:
    """Return the marker of a folder, or None if sitegen did not publish the folder."""
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
        {
            digest: retained
            for digest, _, note in entries
            if note not in ("", _LASTING) and (retained := _parse_retained(note))
        },
    )


def _parse_retained(note: str) -> Retained | None:
    """Parse `2 2026-11-26`. Return None for any other text."""
    publications, _, since = note.partition(" ")
    try:
        return Retained(int(publications), date.fromisoformat(since))
    except ValueError:
        return None


@dataclass(frozen=True)
class FolderContents:
    """The files and links in a folder, by path, divided into ours and others."""

    marker: Marker | None
    """None if sitegen did not publish the folder."""
    ours: frozenset[str]
    """Files that sitegen published, without the marker."""
    foreign: frozenset[str]
    """Files that somebody else put there."""


def scan_folder(folder: Path) -> FolderContents:
    """Return the contents of a folder. Empty if the folder does not exist."""
    marker = read_marker(folder)
    listed = frozenset() if marker is None else marker.ours
    ours, foreign = set(), set()
    for path in _files(folder):
        if digest_of(path) in listed:
            ours.add(path)
        elif not path.startswith(MARKER):
            foreign.add(path)
    return FolderContents(marker, frozenset(ours), frozenset(foreign))


def published_paths(folder: Path) -> frozenset[str]:
    """Return the paths of published files without the marker. Empty if sitegen did not publish the folder."""
    return scan_folder(folder).ours


def published_pages(folder: Path) -> set[str]:
    """Return the paths of published pages, to which links may exist elsewhere."""
    return {path for path in published_paths(folder) if path.endswith(".html")}


def is_published(folder: Path, path: str) -> bool:
    """Return whether this file exists in the folder and is listed in its marker."""
    marker = read_marker(folder)
    return marker is not None and digest_of(path) in marker.ours and (folder / path).is_file()


def has_foreign_files(folder: Path) -> bool:
    """Return whether a folder holds a file or link that sitegen did not publish."""
    marker = read_marker(folder) or Marker()
    return any(digest_of(path) not in marker.ours and not path.startswith(MARKER) for path in _files(folder))


def _files(folder: Path) -> Iterator[str]:
    """Yield the paths of all files and links below a folder. Unreadable folders count as empty."""
    waiting = [""]
    while waiting:
        here = waiting.pop()
        with suppress(OSError), os.scandir(f"{folder}/{here}") as entries:
            for entry in entries:
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(f"{here}{entry.name}/")
                else:
                    yield f"{here}{entry.name}"
