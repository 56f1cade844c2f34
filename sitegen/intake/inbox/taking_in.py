"""Take in the finished files of the inbox, each whole or not at all, in the order of their moments.

A file is taken in, then noted in the journal, then moved to `taken/` or `refused/`. A run that is killed between
these steps loses and doubles nothing: the next run knows the visit by the digest in its first line, or the file by
its line in the journal.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from hashlib import file_digest
from pathlib import Path

from sitegen.disk import flush, one_at_a_time
from sitegen.intake.adding import take_in_zip
from sitegen.intake.inbox.arrived_files import STILL_FOR, ArrivedFile, find_arrived
from sitegen.intake.inbox.journal import append_entry, read_journal
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.problems import Problem
from sitegen.records.store import InboxSettings
from sitegen.records.visits.arrivals import InboxEntry, InboxOutcome, InboxReport

TAKEN = "taken"
REFUSED = "refused"


def inbox_folder(store: Path, settings: InboxSettings) -> Path:
    """Return the inbox of a store, which need not exist."""
    return store / settings.folder


def take_in_inbox(
    store: Path,
    settings: InboxSettings,
    moment: datetime,
    today: date,
    still_for: float = STILL_FOR,
    pause: Callable[[float], None] = time.sleep,
    busy: Callable[[], None] = lambda: None,
) -> InboxReport:
    """Take in every file of the inbox that has arrived whole. Return what became of each; nothing without an inbox.

    `moment` is noted in the journal, and nothing may be dated after `today`. A file counts as arrived when it has not
    changed for `still_for` seconds; `pause` waits that long, once, if a file changed a moment ago. `busy` is called
    before a wait for another process that takes in the same inbox. Raises OSError if a file cannot be written; the
    files that were not reached stay in the inbox.
    """
    folder = inbox_folder(store, settings)
    if not folder.is_dir():
        return InboxReport()
    with one_at_a_time(folder, busy):
        arrived, partial = find_arrived(folder, pause, still_for)
        noted = {entry.digest: entry for entry in read_journal(folder)}
        at = moment.astimezone(UTC).isoformat(timespec="seconds")
        results = [_take_in(store, settings, file, noted, at, today) for file in arrived]
        for path, is_given_up in partial:
            if is_given_up:
                entry = InboxEntry(
                    path.name, InboxOutcome.REFUSED, words=("It did not arrive whole: send it again.",)
                )
                results.append(_refuse(folder, path, _digest(path), at, entry))
            else:
                results.append(InboxEntry(path.name, InboxOutcome.WAITING, words=("It is still arriving.",)))
    found = [entry for entry in results if entry is not None]
    by_outcome = {outcome: tuple(entry for entry in found if entry.outcome is outcome) for outcome in InboxOutcome}
    return InboxReport(
        by_outcome[InboxOutcome.TAKEN], by_outcome[InboxOutcome.REFUSED], by_outcome[InboxOutcome.WAITING]
    )


def waiting_files(store: Path, settings: InboxSettings) -> tuple[str, ...]:
    """Return the names of the zips that lie in the inbox and were neither taken in nor refused."""
    folder = inbox_folder(store, settings)
    names = (path.name for path in folder.iterdir()) if folder.is_dir() else ()
    return tuple(sorted(name for name in names if name.lower().endswith(".zip") and not name.startswith(".")))


def _take_in(
    store: Path, settings: InboxSettings, file: ArrivedFile, noted: dict[str, InboxEntry], at: str, today: date
) -> InboxEntry | None:
    """Take in one file, or refuse it, and move it. Return None for a file that was taken in before."""
    folder, digest = file.path.parent, _digest(file.path)
    before = noted.get(digest)
    if before is not None and before.outcome is InboxOutcome.TAKEN:
        _move(file.path, folder / TAKEN)
        return None
    entry = InboxEntry(file.path.name, InboxOutcome.REFUSED, at, digest, file.stock, on=file.on, by=file.by)
    if file.is_visit and not (store / "vehicles" / file.stock / INSPECTION).is_file():
        waits = f"It waits for the first inspection of {file.stock}, which has not come in."
        return replace(entry, outcome=InboxOutcome.WAITING, at="", words=(waits,))
    stock, problems, later = take_in_zip(
        store, file.path, today, may_change=frozenset(settings.may_change), digest=digest
    )
    words = tuple(dict.fromkeys(_in_words(problem, file.path.name) for problem in problems))
    if stock is None:
        entry = replace(entry, words=words)
        return _refuse(folder, file.path, digest, at, entry, before)
    changes = later.changes if later is not None else ("new",)
    visit = later.visit if later is not None and later.visit else ""
    entry = replace(entry, outcome=InboxOutcome.TAKEN, stock=stock, visit=visit, changes=changes, words=words)
    append_entry(folder, entry)
    noted[digest] = entry
    _move(file.path, folder / TAKEN)
    return entry


def _refuse(
    folder: Path, path: Path, digest: str, at: str, entry: InboxEntry, before: InboxEntry | None = None
) -> InboxEntry | None:
    """Note a refused file, unless it was refused for the same reasons before, and move it."""
    entry = replace(entry, digest=digest, at=at)
    is_known = before is not None and before.words == entry.words
    if not is_known:
        append_entry(folder, entry)
    _move(path, folder / REFUSED)
    return None if is_known else entry


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def _move(path: Path, folder: Path) -> None:
    """Move a file into a folder, with a number after its name if another file has it. Raises OSError."""
    folder.mkdir(exist_ok=True)
    target, number = folder / path.name, 1
    while target.exists():
        if target.stat().st_size == path.stat().st_size and _digest(target) == _digest(path):
            path.unlink()
            return
        number += 1
        target = folder / f"{path.stem}-{number}{path.suffix}"
    path.rename(target)
    flush(folder)


def _in_words(problem: Problem | str, file: str) -> str:
    """Return a problem as a sentence for the person who sent the file, without places in files."""
    if isinstance(problem, str):
        text = problem.removeprefix(f"{file}: ")
        return f"{text[:1].upper()}{text[1:].rstrip('.')}."
    where = f"{problem.where}: " if problem.where else ""
    return f"{where}found {problem.found}, expected {problem.expected}. To mend, {problem.mend}."
