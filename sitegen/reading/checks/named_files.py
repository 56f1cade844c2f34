"""Checks of file names in a record: each named file must exist in the vehicle's folder."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from sitegen.reading.validation.did_you_mean import LIKENESS_OF_NAMES, did_you_mean
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class NamedFolder:
    """A folder whose files a record names, with the words for them in messages."""

    files: Mapping[str, bool]
    """Files by path relative to the folder. True if the file is a symbolic link or lies in a linked folder."""
    file_words: str
    folder_words: str

    def check(self, marks: Marks, path: KeyPath, file: str) -> Iterator[Problem]:
        """Yield a problem if `file` is not the name of a regular file in this folder.

        `path` is the place of the name in the record.
        """
        expected = f"the name of a {self.file_words} in {self.folder_words}"
        name = PurePosixPath(file.replace("\\", "/"))
        if name.is_absolute() or ".." in name.parts or "\\" in file or ":" in file:
            found = f"{file}, which leads out of the folder"
            mend = f"copy the {self.file_words} there, and write {name.name}"
            yield marks.problem(path, expected, mend, found=found)
        elif file not in self.files:
            mend = did_you_mean(
                file, self.files, f"copy the {self.file_words} there, or mend the name", LIKENESS_OF_NAMES
            )
            yield marks.problem(path, expected, mend, found=f"{file}, which is not there")
        elif self.files[file]:
            mend = f"put the {self.file_words} itself there"
            yield marks.problem(path, expected, mend, found=f"{file}, which is only a link")


_SYSTEM_FILES = {"thumbs.db", "desktop.ini"}


def photo_files(folder: Path) -> Mapping[str, bool]:
    """Return the files of a folder and its subfolders by relative path. True marks a symbolic link.

    Every file counts as a link if the folder itself is one. Linked subfolders are not followed. Names that begin with
    a dot, and files that operating systems create, are skipped.
    """
    is_link = folder.is_symlink()
    return {file: is_link or file_is_link for file, file_is_link in _files_in(os.fspath(folder), "")}


def _files_in(folder: str, within: str) -> Iterator[tuple[str, bool]]:
    try:
        with os.scandir(folder) as scan:
            entries = [entry for entry in scan if not entry.name.startswith(".")]
    except OSError:  # The folder does not exist or cannot be read.
        return
    folders = []
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            folders.append(entry.name)
        elif entry.name.casefold() not in _SYSTEM_FILES:
            yield within + entry.name, entry.is_symlink()
    for name in sorted(folders):
        yield from _files_in(f"{folder}/{name}", f"{within}{name}/")
