"""The ledger on the disk: `ledger.jsonl` in the store's folder, and `revisions/` with what each line tells of.

    ledger.jsonl                    the lines, which are only ever added
    revisions/head                  the digest of the last line, so that a cut-off end is found
    revisions/K102/2/               the second disclosure of K102: record.json, and each page at its path in the site
    revisions/shown/<SHA-256>.jpg   every photo as it was shown; videos likewise

What a line tells of is on the disk before the line is, and the line before the site that carries its digest. So a
build that is killed leaves at most a line of a publication that then did not happen; the next one adds no line for
what it finds the same.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from hashlib import sha256
from pathlib import Path

from sitegen.disk import flush, half_of, one_at_a_time, write_whole
from sitegen.ledger.changes import Facts
from sitegen.ledger.lines import Line, NoLineError, chained, line_of
from sitegen.records.problems import Problem, Severity

LEDGER = "ledger.jsonl"
REVISIONS = "revisions"
HEAD = "head"
SHOWN = "shown"
RECORD = "record.json"


def one_build_at_a_time(store: Path, busy: Callable[[], None] = lambda: None) -> AbstractContextManager[None]:
    """Wait until no other build reads the ledger or adds to it; `busy` is called where one does."""
    place = store / ".cache"
    place.mkdir(exist_ok=True)
    return one_at_a_time(place, busy)


def read_ledger(store: Path) -> tuple[tuple[Line, ...], tuple[Problem, ...]]:
    """Return the lines of a store's ledger, and what is wrong with them; none of either where there is no ledger.

    The beginning of a line without its end, which a loss of power can leave, is none: nothing was published with it.
    """
    content = (store / LEDGER).read_bytes() if (store / LEDGER).exists() else b""
    texts = content.split(b"\n")[:-1]
    lines: list[Line] = []
    for number, text in enumerate(texts, start=1):
        try:
            lines.append(line_of(text))
        except NoLineError as fault:
            return tuple(lines), (ledger_problem(number, str(fault)),)
    for number, (_, found) in enumerate(chained(lines), start=1):
        if found:
            return tuple(lines), (ledger_problem(number, found),)
    head = head_of(store)
    if head is not None and head not in {line.digest for line in lines}:
        return tuple(lines), (
            ledger_problem(len(lines), f"an end that is not the line that {REVISIONS}/{HEAD} names"),
        )
    return tuple(lines), ()


def head_of(store: Path) -> str | None:
    """Return the digest that was noted of the last line, or None if there is no note."""
    try:
        return (store / REVISIONS / HEAD).read_text("ascii").strip()
    except (FileNotFoundError, NotADirectoryError, UnicodeDecodeError):
        return None


def revision_folder(store: Path, line: Line) -> Path:
    """Return where what a line tells of is kept."""
    return store / REVISIONS / str(line.stock) / str(line.revision)


def facts_of(store: Path, line: Line) -> Facts | None:
    """Return the facts that were disclosed with a line, or None if they are not kept any more or not as they were."""
    try:
        content = (revision_folder(store, line) / RECORD).read_bytes()
    except OSError:
        return None
    if sha256(content).hexdigest() != line.record:
        return None
    facts: Facts = json.loads(content)
    return facts


def add(
    store: Path,
    lines: Sequence[Line],
    records: Mapping[str, bytes],
    pages: Mapping[str, bytes],
    shown: Mapping[str, Path],
) -> None:
    """Keep what the new lines tell of, then add them. Everything is on the disk when this returns. Raises OSError.

    `records` holds each `record.json` by stock, `pages` the pages with zeros for the line's digest, by path in the
    site, `shown` the files of photos and videos by their digest.
    """
    for line in lines:
        if line.record is not None and line.stock is not None:
            folder = revision_folder(store, line)
            shutil.rmtree(folder, ignore_errors=True)  # of a build that was ended before it could add the line
            _write(folder / RECORD, records[line.stock])
            for page in line.pages:
                _write(folder / page, pages[page])
            for digest in line.shown:
                _keep_shown(store, digest, shown[digest])
    _flush_revisions(store, lines)
    if not lines:
        return
    with (store / LEDGER).open("a+b") as file:
        file.seek(0)
        file.truncate(file.read().rfind(b"\n") + 1)  # the beginning of a line that never got its end
        file.write(b"".join(line.text + b"\n" for line in lines))
        file.flush()
        os.fsync(file.fileno())
    flush(store)
    note_head(store, lines[-1])


def note_head(store: Path, last: Line) -> None:
    """Note the last line, if that has not been done: a build may have been ended before it could."""
    if head_of(store) != last.digest:
        (store / REVISIONS).mkdir(exist_ok=True)
        write_whole(store / REVISIONS / HEAD, f"{last.digest}\n".encode(), lasting=True)


def ledger_problem(number: int, found: str) -> Problem:
    """Return the problem of a line of the ledger."""
    mend = (
        "put back the ledger that you backed up with the store; sitegen ledger STORE verify tells all that is wrong"
    )
    return Problem(LEDGER, number, 1, "", found, "the line that a build wrote", mend)


def set_back(lines: Sequence[Line], added: Sequence[Line]) -> tuple[Problem, ...]:
    """Return a warning if lines were added at a time before that of the last: they stand for good.

    A time far ahead cannot be taken out again either, so it must not hold later lines.
    """
    if (
        not lines or not added or added[0].time >= lines[-1].time
    ):  # RFC 3339 in UTC: the order of texts is that of times
        return ()
    found = f"a line of {added[0].time} after one of {lines[-1].time}"
    mend = "set this machine's clock right (or SOURCE_DATE_EPOCH); which line came first is told by their order"
    number = added[0].sequence
    return (Problem(LEDGER, number, 1, "", found, "a clock that only goes forward", mend, Severity.WARNING),)


def _flush_revisions(store: Path, lines: Sequence[Line]) -> None:
    """Wait until what lines tell of is on the disk; all is written by then, for much at once is there sooner."""
    told_of = [line for line in lines if line.record is not None]
    for line in told_of:
        revision = revision_folder(store, line)
        for folder, _, files in os.walk(revision, topdown=False):
            for name in (*files, ""):
                flush(Path(folder, name))
        flush(revision.parent)
    if told_of:
        flush(store / REVISIONS)


def _keep_shown(store: Path, digest: str, source: Path) -> None:
    target = store / REVISIONS / SHOWN / f"{digest}{source.suffix}"
    if target.exists():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    half = half_of(target)
    shutil.copyfile(source, half)
    flush(half)
    half.replace(target)
    flush(target.parent)


def _write(target: Path, content: bytes) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(content)
