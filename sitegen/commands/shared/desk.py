"""Write the folders for the store's staff, such as the bay page, into `desk/`. They are never in the public site."""

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
"""The folder of a store's public site, unless a build names another place."""


MARKER = ".sitegen-desk"
"""The name of a file that marks a folder as written by sitegen, so that it may be replaced whole."""


def put_on_desk(store: Path, name: str, to: Path | None, files: Mapping[str, bytes]) -> Path:
    """Write files into the desk's folder of this name, or into `to`. Each file is written atomically.

    Return the folder.

    Raises UsageError if the folder is public.
    """
    folder = _not_published(store, to or store / DESK / name)
    folder.mkdir(parents=True, exist_ok=True)
    for file, content in files.items():
        write_whole(folder / file, content)
    return folder


def place_on_desk(store: Path, name: str, to: Path | None) -> Path:
    """Return the desk's folder of this name, or `to`, after a check that it may be replaced whole.

    Raises UsageError if the folder is public or holds files that sitegen did not write.
    """
    folder = _not_published(store, to or store / DESK / name)
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise UsageError(f"{folder} is not a folder: name another place")
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MARKER).is_file():
        raise UsageError(
            f"{folder} holds files that sitegen did not write, and they would be deleted: name a new folder"
        )
    return folder


def replace_on_desk(folder: Path, files: Iterable[tuple[str, bytes | Path]]) -> None:
    """Replace a whole folder. The old one stays in place until all new files are written.

    `files` gives the path inside the folder, and the bytes or the file to copy.
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
    """Return the folder. Raises UsageError if it lies in a public site, this store's or any other."""
    places = (folder.resolve(), *folder.resolve().parents)
    if (store / PUBLISHED).resolve() in places or any((place / PUBLIC_MARKER).is_file() for place in places):
        raise UsageError(f"{folder} is public, and these pages are for the store's staff only: name another folder")
    return folder
