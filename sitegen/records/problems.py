"""A problem in the store's files: where it stands, what was found, what was expected, how to mend it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """An error stops the build; a warning is only told."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, order=True)
class Problem:
    """One problem. Lines and columns count from 1; both are 0 when the whole file is meant.

    `where` is the way to the value through the file's keys: defects[2].photos[1].mark.x, where lists count from 1.
    """

    file: str
    line: int
    column: int
    where: str
    found: str
    expected: str
    mend: str
    severity: Severity = Severity.ERROR

    def as_line(self) -> str:
        """Return the problem as one line that editors and terminals can follow to its place."""
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        label = "warning: " if self.severity is Severity.WARNING else ""
        where = f"{self.where}: " if self.where else ""
        return f"{place}: {label}{where}found {self.found}; expected {self.expected}; to mend, {self.mend}"

    def as_mapping(self) -> dict[str, str | int]:
        """Return the problem as plain values, for machines."""
        return {**vars(self), "severity": self.severity.value}
