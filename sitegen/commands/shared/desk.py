"""The shop's own pages: in `desk/` beside the public site, and never inside it."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Mapping
from itertools import chain
from pathlib import Path

from sitegen.commands.shared.clock import UsageError
from sitegen.disk import half_of, write_whole
from sitegen.publishing.marker import MARKER as PUBLIC_MARKER

DESK = "desk"
PUBLISHED = "published"
"""Where the public site of a store lies, unless a build is told another place."""


MARKER = ".sitegen-desk"
"""Stands in a folder of the desk that is replaced whole: what is there is ours."""


def put_on_desk(store: Path, name: str, to: Path | None, files: Mapping[str, bytes]) -> Path:
    """Write files, each whole, into the folder of this name on the store's desk, or to another; return which.

    Raises UsageError for a place that everybody sees.
    """
    folder = _not_published(store, to or store / DESK / name)
    folder.mkdir(parents=True, exist_ok=True)
    for file, content in files.items():
        write_whole(folder / file, content)
    return folder


def place_on_desk(store: Path, name: str, to: Path | None) -> Path:
    """Return the folder of this name on the store's desk, or another, which may be replaced whole.

    Raises UsageError for a place that everybody sees, and for a folder that holds what is not ours.
    """
    folder = _not_published(store, to or store / DESK / name)
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise UsageError(f"{folder} is not a folder: name another place")
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MARKER).is_file():
        raise UsageError(f"{folder} holds files of somebody else, and all that is in it would go: name a new folder")
    return folder


def replace_on_desk(folder: Path, files: Iterable[tuple[str, bytes | Path]]) -> None:
    """Put a whole folder in the place of the one that is there, which stays as it is until all files are written.

    A file is given by its path in the folder, and its bytes or where they are now.
    """
    new = half_of(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    shutil.rmtree(new, ignore_errors=True)
    try:
        for path, content in chain(
            [(MARKER, b"This folder is made by sitegen desk, and is replaced whole.\n")], files
        ):
            target = new / path
            target.parent.mkdir(parents=True, exist_ok=True)
            if isinstance(content, Path):
                shutil.copyfile(content, target)
            else:
                target.write_bytes(content)
        old = half_of(new)
        if folder.exists():
            folder.rename(old)
        new.rename(folder)
        shutil.rmtree(old, ignore_errors=True)
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _not_published(store: Path, folder: Path) -> Path:
    """Return the folder. Raises UsageError where everybody would see it: in the public site, wherever that is."""
    places = (folder.resolve(), *folder.resolve().parents)
    if (store / PUBLISHED).resolve() in places or any((place / PUBLIC_MARKER).is_file() for place in places):
        raise UsageError(f"{folder} is published for everybody: this is for the shop, so name another folder")
    return folder
