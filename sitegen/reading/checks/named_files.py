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
    is_link = folder.is_symlink()
    return {file: is_link or is_one for file, is_one in _files_in(os.fspath(folder), "")}


def _files_in(folder: str, within: str) -> Iterator[tuple[str, bool]]:
    try:
        with os.scandir(folder) as there:
            entries = [entry for entry in there if not entry.name.startswith(".")]
    except OSError:  # there is no such folder, or it is not to be read
        return
    folders = []
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            folders.append(entry.name)
        elif entry.name.casefold() not in _LEFT_BY_SYSTEMS:
            yield within + entry.name, entry.is_symlink()
    for name in sorted(folders):
        yield from _files_in(f"{folder}/{name}", f"{within}{name}/")
