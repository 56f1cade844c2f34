"""Join a branch of the ledger: lines that another copy of the store wrote after the last line in common.

Two machines that publish one store, a restored backup, or two merged branches of version control leave two ledgers
that begin alike. Neither may be dropped, since each of their lines was public. The joined branch stays as it is:

    revisions/joined_branches/<digest of its last line>/ledger.jsonl   its lines after the last line in common
    revisions/joined_branches/<digest of its last line>/K102/3/        the files that such a line names

One new line of the ledger names the digest of the branch's last line.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from sitegen.disk import half_of
from sitegen.ledger.ledger_files import LEDGER, REVISIONS, SHOWN, add, revision_folder
from sitegen.ledger.lines import NOTHING_BEFORE, InvalidLineError, Line, parse_line

BRANCHES = "joined_branches"
"""Folder of the joined branches. No stock number has an underscore."""


class JoinError(Exception):
    """A ledger cannot be joined to another. The message says why in plain words."""


@dataclass(frozen=True)
class Branch:
    """The lines of a joined branch after the last line in common, and the folder of the files that they name."""

    folder: Path
    lines: tuple[Line, ...]

    def revision_folder(self, line: Line) -> Path:
        """Return the folder of the files that a line names."""
        return self.folder / str(line.stock) / str(line.revision)


def branch_after_fork(ours: Sequence[Line], theirs: Sequence[Line]) -> tuple[Line, ...]:
    """Return the lines of `theirs` that `ours` lacks. Raises JoinError if there is no second branch."""
    known = {line.digest for line in ours} | {line.joined for line in ours}
    if theirs and theirs[-1].digest in known:
        raise JoinError("it has no line that this ledger lacks")
    common = next((n for n, (a, b) in enumerate(zip(ours, theirs, strict=False)) if a.digest != b.digest), None)
    if common is None:
        raise JoinError("it is this ledger with further lines: copy its ledger.jsonl and revisions/ here instead")
    if common == 0 and not {line.vin for line in ours} & {line.vin for line in theirs} - {None}:
        raise JoinError("it has no line and no vehicle in common with this ledger: it belongs to another store")
    return tuple(theirs[common:])


def join_branch(store: Path, ours: Sequence[Line], other: Path, branch: Sequence[Line], time: str) -> Line:
    """Copy a branch and its files from another copy of the store, then append the line that joins it.

    `time` is in UTC, in RFC 3339 form. Return the new line. Raises OSError; the store is then as it was.
    """
    tip = branch[-1].digest
    target = store / REVISIONS / BRANCHES / tip
    target.parent.mkdir(parents=True, exist_ok=True)
    half = half_of(target)
    try:
        half.mkdir()
        (half / LEDGER).write_bytes(b"".join(line.text + b"\n" for line in branch))
        for line in branch:
            if line.record is not None:
                shutil.copytree(revision_folder(other, line), half / str(line.stock) / str(line.revision))
        shutil.rmtree(target, ignore_errors=True)  # left by a command that was killed before it added the line
        half.replace(target)
    finally:
        shutil.rmtree(half, ignore_errors=True)
    for folder in (SHOWN, BRANCHES):
        if (other / REVISIONS / folder).is_dir():
            shutil.copytree(other / REVISIONS / folder, store / REVISIONS / folder, dirs_exist_ok=True)
    words = f"joined a branch of {len(branch)} {'line' if len(branch) == 1 else 'lines'}"
    last = ours[-1]
    line = Line(
        last.sequence + 1, time, None, None, None, None, None, {}, (), (), (words,), last.digest, joined=tip
    )  # fmt: skip
    add(store, [line], {}, {}, {})
    return line


def branches_of(store: Path, lines: Sequence[Line]) -> Iterator[Branch]:
    """Yield each branch that the lines join, and the branches that these join.

    A branch that is missing or cannot be read has no lines: `branch_errors` describes the error.
    """
    for line in lines:
        if line.joined is not None:
            folder = store / REVISIONS / BRANCHES / line.joined
            branch = Branch(folder, _read_lines(folder / LEDGER))
            yield branch
            yield from branches_of(store, branch.lines)


def branch_errors(store: Path, lines: Sequence[Line]) -> Iterator[tuple[str, str]]:
    """Yield each error in the chain of a joined branch, with the path of its file in the store."""
    for branch in branches_of(store, lines):
        tip = branch.folder.name
        place = (branch.folder / LEDGER).relative_to(store).as_posix()
        if not branch.lines or branch.lines[-1].digest != tip:
            yield place, "it is missing, or does not end with the line that the ledger joined"
            continue
        before = branch.lines[0].before
        if before not in {line.digest for line in lines} | {NOTHING_BEFORE}:
            yield place, "its first line does not follow a line of the ledger"
        for line in branch.lines:
            if line.before != before:
                yield place, f"line {line.sequence} does not name the one before it"
            before = line.digest


def _read_lines(path: Path) -> tuple[Line, ...]:
    try:
        return tuple(parse_line(text) for text in path.read_bytes().split(b"\n")[:-1])
    except (OSError, InvalidLineError):
        return ()
