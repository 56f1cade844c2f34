"""Whether the ledger and what it tells of are as they were written: each thing that is not is named."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from hashlib import file_digest, sha256
from pathlib import Path

from sitegen.ledger.keeping import HEAD, LEDGER, RECORD, REVISIONS, SHOWN, head_of, revision_folder
from sitegen.ledger.lines import Line, NoLineError, chained, line_of

Fault = tuple[str, str]
"""A file, by its path in the store with the line where it is the ledger; and what is wrong with it."""


def faults_of_ledger(store: Path) -> Iterator[Fault]:
    """Yield everything about a store's ledger that is not as it was written. Raises OSError if it cannot be read."""
    content = (store / LEDGER).read_bytes() if (store / LEDGER).exists() else b""
    texts = content.split(b"\n")
    if texts.pop():
        yield f"{LEDGER}:{len(texts) + 1}", "the beginning of a line without its end; the next build takes it off"
    lines: list[Line] = []
    for number, text in enumerate(texts, start=1):
        try:
            lines.append(line_of(text))
        except NoLineError as fault:
            yield f"{LEDGER}:{number}", str(fault)
    if len(lines) == len(texts):
        for number, (_, found) in enumerate(chained(lines), start=1):
            if found:
                yield f"{LEDGER}:{number}", found
    yield from _faults_of_head(store, lines)
    for line in lines:
        yield from _faults_of_revision(store, line)
    for digest in sorted({digest for line in lines for digest in line.shown}):
        found_files = sorted((store / REVISIONS / SHOWN).glob(f"{digest}.*"))
        yield from _faults_of_file(
            store, found_files[0] if found_files else store / REVISIONS / SHOWN / digest, digest
        )
    yield from _strangers(store, lines)


def _faults_of_head(store: Path, lines: Sequence[Line]) -> Iterator[Fault]:
    head, place = head_of(store), f"{REVISIONS}/{HEAD}"
    digests = [line.digest for line in lines]
    if head is None:
        if lines or (store / REVISIONS).exists():
            yield place, "it is missing, or cannot be read: whether the end of the ledger was cut off cannot be told"
    elif head not in digests:
        yield place, "it names a line that the ledger has not: the end was cut off, or a line was changed"
    elif head != digests[-1]:
        number = digests.index(head) + 1
        yield (
            place,
            f"it names line {number}, which is not the last; a build that was ended leaves that, the next mends it",
        )


def _faults_of_revision(store: Path, line: Line) -> Iterator[Fault]:
    if line.record is None:
        return
    folder = revision_folder(store, line)
    for name, digest in {RECORD: line.record, **line.pages}.items():
        yield from _faults_of_file(store, folder / name, digest)


def _faults_of_file(store: Path, path: Path, digest: str) -> Iterator[Fault]:
    place = path.relative_to(store).as_posix()
    if path.is_symlink() or not path.is_file():
        yield place, "it is missing"
        return
    with path.open("rb") as file:
        if file_digest(file, sha256).hexdigest() != digest:
            yield place, "it is not as it was when it was disclosed"


def _strangers(store: Path, lines: Sequence[Line]) -> Iterator[Fault]:
    """Yield what lies in a vehicle's revisions, and no line tells of: lines may be missing."""
    known = {revision_folder(store, line) / name for line in lines for name in (RECORD, *line.pages)}
    for path in sorted((store / REVISIONS).glob("*/*/**/*")):
        if path.is_file() and path not in known:
            yield path.relative_to(store).as_posix(), "no line of the ledger tells of it"
