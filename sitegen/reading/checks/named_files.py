"""Files that a record names, and files in the folder that they should be in: each should be the other's."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from sitegen.reading.validation.did_you_mean import A_SLIP, did_you_mean
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class NamedFolder:
    """A folder whose files a record names, and the words for it."""

    files: Mapping[str, bool]
    """Files by their path from the folder on; true for what is only a link to a file elsewhere."""
    file_words: str
    folder_words: str

    def check(self, marks: Marks, path: KeyPath, file: str) -> Iterator[Problem]:
        """Yield what is wrong with the name of a file, which stands at a path of the record."""
        expected = f"the name of a {self.file_words} in {self.folder_words}"
        name = PurePosixPath(file.replace("\\", "/"))
        if name.is_absolute() or ".." in name.parts or "\\" in file or ":" in file:
            found = f"{file}, which leads out of the folder"
            mend = f"copy the {self.file_words} there, and write {name.name}"
            yield marks.problem(path, expected, mend, found=found)
        elif file not in self.files:
            mend = did_you_mean(file, self.files, f"copy the {self.file_words} there, or mend the name", A_SLIP)
            yield marks.problem(path, expected, mend, found=f"{file}, which is not there")
        elif self.files[file]:
            mend = f"put the {self.file_words} itself there"
            yield marks.problem(path, expected, mend, found=f"{file}, which is only a link")


_LEFT_BY_SYSTEMS = {"thumbs.db", "desktop.ini"}


def photo_files(folder: Path) -> Mapping[str, bool]:
    """Return the files, by their path from the folder on; true for a link, or for what lies behind one.

    Links to folders are not followed, and what begins with a dot is passed over.
    """
    files: dict[str, bool] = {}
    is_link = folder.is_symlink()
    for parent, folders, names in os.walk(folder):
        inside = Path(parent)
        links = {name for name in (*folders, *names) if (inside / name).is_symlink()}
        within = "" if inside == folder else f"{inside.relative_to(folder).as_posix()}/"
        for name in (*names, *(name for name in folders if name in links)):
            if not name.startswith(".") and name.casefold() not in _LEFT_BY_SYSTEMS:
                files[within + name] = is_link or name in links
        folders[:] = sorted(name for name in folders if not name.startswith("."))
    return files
