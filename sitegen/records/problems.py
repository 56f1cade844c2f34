"""A problem in one of the store's files: its place, the value found, the value expected, and how to correct it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """Severity of a problem: an error stops the build, a warning is only printed."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, order=True)
class Problem:
    """One problem in a file. Lines and columns count from 1; both are 0 when the problem concerns the whole file.

    `where` is the path of keys to the value, such as `defects[2].photos[1].mark.x`. List positions count from 1.
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
        """Return the problem as one line that begins with `file:line:column`, so that editors can jump to it."""
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        label = "warning: " if self.severity is Severity.WARNING else ""
        where = f"{self.where}: " if self.where else ""
        return f"{place}: {label}{where}found {self.found}; expected {self.expected}; to mend, {self.mend}"

    def as_mapping(self) -> dict[str, str | int]:
        """Return the problem as a mapping of plain values, ready for JSON."""
        return {**vars(self), "severity": self.severity.value}


def unexpected_problem(file: str, fault: Exception) -> Problem:
    """Return the problem of a file whose content caused an unexpected exception."""
    found = f"a value that cannot be processed ({type(fault).__name__}: {fault})"
    mend = "undo the latest change to this vehicle, or leave the vehicle out with --leave-out-faulty"
    return Problem(file, 0, 0, "", found, "values that this program can process", mend)


class ProblemsError(Exception):
    """Problems in the program's own data, such as a missing message, found too late to be returned.

    The command prints them like any others. `problems` has at least one.
    """

    def __init__(self, *problems: Problem) -> None:
        """Take the problems."""
        super().__init__(*problems)
        self.problems = problems
