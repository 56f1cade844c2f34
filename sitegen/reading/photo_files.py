"""Which files lie in a vehicle's folder of photos. Their contents are not looked at here."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

_LEFT_BY_SYSTEMS = {"thumbs.db", "desktop.ini"}


def photo_files(folder: Path) -> Mapping[str, bool]:
    """Return the files, by their path from the folder on; true for a link, or for what lies behind one.

    Links to folders are not followed, and what begins with a dot is passed over.
    """
    files: dict[str, bool] = {}
    for parent, folders, names in os.walk(folder):
        inside = Path(parent)
        links = [name for name in folders if (inside / name).is_symlink()]
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in (*names, *links):
            if not name.startswith(".") and name.casefold() not in _LEFT_BY_SYSTEMS:
                path = inside / name
                files[path.relative_to(folder).as_posix()] = folder.is_symlink() or path.is_symlink()
    return files
