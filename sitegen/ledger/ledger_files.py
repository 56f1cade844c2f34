"""Read and write the ledger's files: `ledger.jsonl` in the store's folder, and `revisions/`.

    ledger.jsonl                    the lines; lines are only appended
    revisions/head                  the digest of the last line, which reveals a truncated ledger
    revisions/K102/2/               the second disclosure of K102: record.json, and each page at its path in the site
    revisions/shown/<SHA-256>.jpg   each photo as it was shown; videos likewise
    revisions/joined_branches/<SHA-256>/   a branch of the ledger that a line joins: its lines and revisions

The files that a line names are on the disk before the line, and the line is on the disk before the site that shows
its digest. A build that is killed thus leaves at most a line whose publication did not happen. The next build adds
no line for content that is unchanged since.
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
from sitegen.ledger.differences.changes import Facts
from sitegen.ledger.lines import InvalidLineError, Line, check_chain, parse_line
from sitegen.records.problems import Problem, Severity

LEDGER = "ledger.jsonl"
REVISIONS = "revisions"
HEAD = "head"
SHOWN = "shown"
RECORD = "record.json"
_MERGE_MARKS = (b"<<<<<<<", b"=======", b">>>>>>>")
"""How version control marks lines that two branches changed."""


def one_build_at_a_time(store: Path, busy: Callable[[], None] = lambda: None) -> AbstractContextManager[None]:
    """Hold the lock on the store's ledger. While another build holds it, call `busy` once and wait."""
    place = store / ".cache"
    place.mkdir(exist_ok=True)
    return one_at_a_time(place, busy)


def read_ledger(store: Path) -> tuple[tuple[Line, ...], tuple[Problem, ...]]:
    """Return the lines of a store's ledger and its problems. Both are empty if there is no ledger.

    An incomplete last line, left by a power loss, is ignored: nothing was published with it.
    """
    content = (store / LEDGER).read_bytes() if (store / LEDGER).exists() else b""
    texts = content.split(b"\n")[:-1]
    lines: list[Line] = []
    for number, text in enumerate(texts, start=1):
        try:
            lines.append(parse_line(text))
        except InvalidLineError as error:
            return tuple(lines), (ledger_problem(number, line_error(text, error)),)
    for number, (_, error_of_line) in enumerate(check_chain(lines), start=1):
        if error_of_line:
            return tuple(lines), (ledger_problem(number, error_of_line),)
    head = head_of(store)
    if head is not None and head not in {line.digest for line in lines}:
        return tuple(lines), (
            ledger_problem(len(lines), f"an end that is not the line that {REVISIONS}/{HEAD} names"),
        )
    return tuple(lines), ()


def line_error(text: bytes, error: InvalidLineError) -> str:
    """Return why a text is not a ledger line. Marks of a merge of two branches get a message of their own."""
    return "a mark of two merged branches" if text.startswith(_MERGE_MARKS) else str(error)


def head_of(store: Path) -> str | None:
    """Return the digest of the last line as `revisions/head` states it, or None if that file cannot be used."""
    try:
        return (store / REVISIONS / HEAD).read_text("ascii").strip()
    except (FileNotFoundError, NotADirectoryError, UnicodeDecodeError):
        return None


def revision_folder(store: Path, line: Line) -> Path:
    """Return the folder of the files that a line names."""
    return store / REVISIONS / str(line.stock) / str(line.revision)


def record_path(line: Line) -> str:
    """Return the path in the store of the `record.json` that a line names."""
    return f"{REVISIONS}/{line.stock}/{line.revision}/{RECORD}"


def facts_of(store: Path, line: Line) -> Facts | None:
    """Return the facts disclosed with a line, or None if they are missing or were altered."""
    return facts_in(revision_folder(store, line), line)


def facts_in(folder: Path, line: Line) -> Facts | None:
    """Return the facts disclosed with a line, from the folder of its files, or None as `facts_of` does."""
    try:
        content = (folder / RECORD).read_bytes()
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
    """Store the files that the new lines name, then append the lines. Everything is flushed to disk on return.

    `records` are the `record.json` files by stock number; `pages` the pages by path, with zeros in place of
    the line's digest; `shown` the photo and video files by digest. Raises OSError.
    """
    for line in lines:
        if line.record is not None and line.stock is not None:
            folder = revision_folder(store, line)
            shutil.rmtree(folder, ignore_errors=True)  # left by a build that was killed before it added the line
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
        file.truncate(file.read().rfind(b"\n") + 1)  # cut off an incomplete last line
        file.write(b"".join(line.text + b"\n" for line in lines))
        file.flush()
        os.fsync(file.fileno())
    flush(store)
    note_head(store, lines[-1])


def note_head(store: Path, last: Line) -> None:
    """Write the digest of the last line to `revisions/head`, unless it is there already."""
    if head_of(store) != last.digest:
        (store / REVISIONS).mkdir(exist_ok=True)
        write_whole(store / REVISIONS / HEAD, f"{last.digest}\n".encode(), lasting=True)


def ledger_problem(number: int, found: str) -> Problem:
    """Return the problem of one line of the ledger."""
    mend = (
        f"put back the ledger and {REVISIONS}/ of one branch, then join the other: sitegen ledger STORE join OTHER"
        if "branch" in found
        else "put back the ledger that you backed up with the store; sitegen ledger STORE verify lists all errors"
    )
    return Problem(LEDGER, number, 1, "", found, "the line that a build wrote", mend)


def clock_warnings(lines: Sequence[Line], added: Sequence[Line]) -> tuple[Problem, ...]:
    """Return a warning if new lines are dated before the last line: the clock was set back.

    Lines are never removed, so one line with a future date must not prevent later ones.
    """
    if (
        not lines or not added or added[0].time >= lines[-1].time
    ):  # RFC 3339 in UTC: the order of texts is that of times
        return ()
    found = f"a line of {added[0].time} after one of {lines[-1].time}"
    mend = "set this machine's clock right (or SOURCE_DATE_EPOCH); the order of the lines says which came first"
    number = added[0].sequence
    return (Problem(LEDGER, number, 1, "", found, "a clock that only goes forward", mend, Severity.WARNING),)


def _flush_revisions(store: Path, lines: Sequence[Line]) -> None:
    """Flush the files that the lines name to disk. All are written first, because flushing together is faster."""
    disclosing = [line for line in lines if line.record is not None]
    for line in disclosing:
        revision = revision_folder(store, line)
        for folder, _, files in os.walk(revision, topdown=False):
            for name in (*files, ""):
                flush(Path(folder, name))
        flush(revision.parent)
    if disclosing:
        flush(store / REVISIONS)


def _keep_shown(store: Path, digest: str, source: Path) -> None:
    suffix = source.suffix or ".jpg"  # pictures have no suffix in the result store; the largest of a photo is a JPEG
    target = store / REVISIONS / SHOWN / f"{digest}{suffix}"
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
