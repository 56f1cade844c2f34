"""The shop's own pages: in `desk/` beside the public site, and never inside it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from sitegen.commands.shared.clock import UsageError
from sitegen.disk import write_whole

DESK = "desk"
PUBLISHED = "published"
"""Where the public site of a store lies, unless a build is told another place."""


def put_on_desk(store: Path, name: str, to: Path | None, files: Mapping[str, bytes]) -> Path:
    """Write files, each whole, into the folder of this name on the store's desk, or to another; return which.

    Raises UsageError for a place that everybody sees.
    """
    folder = to or store / DESK / name
    if (store / PUBLISHED).resolve() in (folder.resolve(), *folder.resolve().parents):
        raise UsageError(f"{folder} is published for everybody: this is for the shop, so name another folder")
    folder.mkdir(parents=True, exist_ok=True)
    for file, content in files.items():
        write_whole(folder / file, content)
    return folder
