"""Create a new store: settings with comments, a price list, own pages, and schemas for editors."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from sitegen.reading.schemas import schemas
from sitegen.shared_data import content_folder

_OTHER_NAMES = {"gitignore": ".gitignore", "gitattributes": ".gitattributes"}
"""Files that have another name in `starter/`, where their real name would take effect."""


def starter_files() -> dict[str, str]:
    """Return the files of a new store by path: the files in `content/reference/starter/`, and the JSON Schemas."""
    starter = content_folder() / "reference" / "starter"
    names = sorted(path.relative_to(starter).as_posix() for path in starter.rglob("*") if path.is_file())
    files = {_OTHER_NAMES.get(name, name): (starter / name).read_text("utf-8") for name in names}
    for name, schema in schemas().items():
        files[f"schemas/{name}.schema.json"] = json.dumps(schema, ensure_ascii=False, indent=2) + "\n"
    return files


def existing_files(folder: Path, files: Mapping[str, str]) -> list[str]:
    """Return the files of a new store that exist already, or `.` if the folder itself is a file."""
    if folder.exists() and not folder.is_dir():
        return ["."]
    return [name for name in (*files, "vehicles") if (folder / name).exists() or (folder / name).is_symlink()]


def start_store(folder: Path, files: Mapping[str, str]) -> None:
    """Write the files of a new store. Raises FileExistsError if any of them exists."""
    (folder / "vehicles").mkdir(parents=True)
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
