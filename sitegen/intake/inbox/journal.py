"""The inbox's journal, `report.jsonl`: one line for each file that was taken in or refused. Lines are only added."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

from sitegen.records.visits.arrivals import InboxEntry, InboxOutcome

JOURNAL = "report.jsonl"


def read_journal(folder: Path) -> tuple[InboxEntry, ...]:
    """Return all entries, oldest first. A line that cannot be read, such as a half-written one, is skipped."""
    try:
        text = (folder / JOURNAL).read_text("utf-8", errors="replace")
    except FileNotFoundError:
        return ()
    return tuple(_entries(text))


def append_entry(folder: Path, entry: InboxEntry) -> None:
    """Append an entry, and flush it to the disk. A half-written last line is ended first. Raises OSError."""
    file = folder / JOURNAL
    line = json.dumps(asdict(entry), ensure_ascii=False).encode("utf-8") + b"\n"
    with file.open("ab+") as journal:
        if journal.tell():
            journal.seek(-1, os.SEEK_END)
            line = line if journal.read(1) == b"\n" else b"\n" + line
        journal.write(line)
        journal.flush()
        os.fsync(journal.fileno())


def _entries(text: str) -> Iterator[InboxEntry]:
    for line in text.split("\n"):
        try:
            values = json.loads(line)
            lists = {key: tuple(values[key]) for key in ("changes", "words")}
            yield InboxEntry(**{**values, **lists, "outcome": InboxOutcome(values["outcome"])})
        except (ValueError, KeyError, TypeError):
            continue
