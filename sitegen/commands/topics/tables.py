"""Text tables, as Markdown for documents and as aligned columns for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass


@dataclass(frozen=True)
class NameTable:
    """A table of text: column headings, and rows of equal length."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def as_markdown(self) -> str:
        """Return the table in Markdown."""
        lines = (self.headings, tuple("---" for _ in self.headings), *self.rows)
        return "\n".join(f"| {' | '.join(cell.replace('|', '&#124;') for cell in line)} |" for line in lines)

    def as_text(self) -> str:
        """Return the table as aligned columns."""
        lines = [self.headings, *self.rows]
        widths = [max(len(line[column]) for line in lines) for column in range(len(self.headings))]
        return "\n".join(
            "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in lines
        )


def table(headings: Iterable[str], rows: Iterable[Iterable[str]]) -> NameTable:
    """Return a table with these headings and rows."""
    return NameTable(tuple(headings), tuple(tuple(row) for row in rows))


def joined(parts: Iterable[str]) -> str:
    """Return parts of a document, separated by empty lines."""
    return "\n\n".join(_not_empty(parts))


def _not_empty(parts: Iterable[str]) -> Iterator[str]:
    return (part for part in parts if part)
