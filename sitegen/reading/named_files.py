"""Files that a record names, and files in the folder that they should be in: each should be the other's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from sitegen.reading.marks import Marks
from sitegen.reading.nearest import did_you_mean
from sitegen.reading.tree import Path
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class NamedFolder:
    """A folder whose files a record names, and the words for it."""

    files: Mapping[str, bool]
    """Files by their path from the folder on; true for what is only a link to a file elsewhere."""
    file_words: str
    folder_words: str

    def check(self, marks: Marks, path: Path, file: str) -> Iterator[Problem]:
        """Yield what is wrong with the name of a file, which stands at a path of the record."""
        expected = f"the name of a {self.file_words} in {self.folder_words}"
        name = PurePosixPath(file.replace("\\", "/"))
        if name.is_absolute() or ".." in name.parts or "\\" in file or ":" in file:
            found = f"{file}, which leads out of the folder"
            mend = f"copy the {self.file_words} there, and write {name.name}"
            yield marks.problem(path, expected, mend, found=found)
        elif file not in self.files:
            mend = did_you_mean(file, self.files, f"copy the {self.file_words} there, or mend the name")
            yield marks.problem(path, expected, mend, found=f"{file}, which is not there")
        elif self.files[file]:
            mend = f"put the {self.file_words} itself there"
            yield marks.problem(path, expected, mend, found=f"{file}, which is only a link")
