"""The result store: traces and small results in one SQLite file, large results as files named by their SHA-256.

    .cache/results.sqlite     one row for each task and key: its trace, and its result or the result's digest
    .cache/files/<SHA-256>    large results, and files that a result refers to, such as pictures

Everything is verified against its digest when it is read. Whatever is damaged is set aside with one line of output,
or counts as not stored. The whole folder can be deleted at any time.
"""

from __future__ import annotations

import json
import os
import sqlite3
import stat
import zlib
from collections.abc import Callable, Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from sitegen.disk import half_of, make_cache_folder, read_regular_file, set_aside

VERSION = 2
LARGE = 48_000
"""Bytes, compressed, from which on a result is a file of its own."""
KEPT_UNUSED_DAYS = 30
"""The days for which an unused result is kept, so that a vehicle that returns soon has its pictures."""
_REPLACED_BEFORE_SWEEP = 1_000
_BESIDE = ("-wal", "-shm", "-journal")
"""Endings of the files that SQLite keeps beside a database."""

_SCHEMA = """
create table if not exists result (
    task text, key text, code text, trace text, digest text, files text, seal text, used integer, session text,
    intact text, content blob, primary key (task, key)
);
create table if not exists file (path text primary key, status text, digest text) without rowid;
create table if not exists swept (day integer);
"""
_FAULTS_OF_THE_DISK = {
    *(sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR),
    *(sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_READONLY),
}
"""SQLite's errors about the disk, permissions or other processes. All others mean that the file is damaged."""

Answers = tuple[tuple[str, str], ...]
"""Each question that a task asked, and the digest of the answer."""


@dataclass(frozen=True)
class StoredResult:
    """The trace of one task and key, and the digests of its result and of the files that the result refers to."""

    code: str
    """Digest of the program that computed it."""
    trace: Answers
    digest: str
    files: tuple[str, ...] = ()
    session: str = ""
    """The command that last verified the trace."""
    intact: str = ""
    """The status of its files when they were last verified against their digests."""


@dataclass(frozen=True)
class FilesStatus:
    """The combined status of all files that one result refers to."""

    whole: str
    """Changes whenever a file's bytes do: sizes, inodes and both times."""
    lasting: str
    """The same without the times of status, which change when a file is hard-linked."""
    newest_ns: int
    """The latest of all times."""


class ResultStore:
    """The store of results in a `.cache` folder: traces, small results and large files."""

    def __init__(self, cache: Path, warn: Callable[[str], None], day: int) -> None:
        """`warn` receives the line about what is set aside. `day` counts days, for the age of results."""
        self.folder, self._warn, self._day = cache, warn, day
        self.files = cache / "files"
        self._replaced = 0
        for folder in (cache, self.files):
            make_cache_folder(folder, warn)
        self._file = cache / "results.sqlite"
        self._pending: list[tuple[str, str, str]] = []
        self._database = self._opened()

    def close(self) -> None:
        """Write pending results, delete unused ones, and close the database."""
        self.settle()
        self._database.close()

    def settle(self) -> None:
        """Write pending results, and delete results that nothing refers to."""
        try:
            self._flush()
            self._sweep()
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)

    def find(self, task: str, key: str) -> StoredResult | None:
        """Return the trace of a task and key; None if there is none, or if it is damaged."""
        row = self._ask(
            "select code, trace, digest, files, seal, session, used, intact from result where task = ? and key = ?",
            task,
            key,
        )
        if row is None or row[4] != _seal(task, key, *row[:4]):
            return None
        if not isinstance(row[6], int) or row[6] < self._day - 7:
            self._tell("update result set used = ? where task = ? and key = ?", [(self._day, task, key)])
        trace = tuple((question, answer) for question, answer in json.loads(row[1]))
        return StoredResult(row[0], trace, row[2], tuple(json.loads(row[3])), row[5], row[7])

    def content(self, task: str, key: str, digest: str) -> bytes | None:
        """Return the result with this digest; None if it is missing or damaged."""
        row = self._ask("select content from result where task = ? and key = ?", task, key)
        if row is None:
            return None
        if row[0] is None:
            return self.file(digest)
        try:
            content = zlib.decompress(row[0])
        except (zlib.error, TypeError):
            return None
        return content if sha256(content).hexdigest() == digest else None

    def packed(self, content: bytes, digest: str) -> bytes | None:
        """Return a result compressed. For a large result, store it as a file and return None."""
        small = zlib.compress(content, 1)
        if len(small) <= LARGE:
            return small
        self.put_file(content, digest)
        return None

    def put(self, task: str, key: str, found: StoredResult, small: bytes | None) -> None:
        """Store a packed result in the place of the one before."""
        trace, files = json.dumps(found.trace), json.dumps(found.files)
        seal = _seal(task, key, found.code, trace, found.digest, files)
        values = (task, key, found.code, trace, found.digest, files, seal, self._day, found.session, "", small)
        before = self._ask("select digest from result where task = ? and key = ?", task, key)
        self._replaced += before is not None and before[0] != found.digest
        self._tell("replace into result values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", [values])

    def mark_verified(self, results: Iterable[tuple[str, str]], session: str) -> None:
        """Store which results were verified in a session, so that its workers need not verify them again."""
        self._tell(
            "update result set session = ? where task = ? and key = ?",
            [(session, task, key) for task, key in results],
        )
        self.commit()

    def commit(self) -> None:
        """Make everything that was stored visible to other processes."""
        with suppress(sqlite3.DatabaseError):
            self._database.commit()

    def put_file(self, content: bytes, digest: str | None = None) -> str:
        """Store bytes as a file, and return their digest. It need not outlast a loss of power."""
        digest = digest or sha256(content).hexdigest()
        target = self.files / digest
        half = half_of(target)
        if target.is_dir():
            self._set_aside(target, "is a folder", "the file")
        half.write_bytes(content)
        half.replace(target)
        return digest

    def file(self, digest: str) -> bytes | None:
        """Return the bytes with this digest; None if there are none, or others. A damaged file is deleted."""
        path = self.files / digest
        with suppress(OSError):
            content = read_regular_file(path)
            if sha256(content).hexdigest() == digest:
                return content
        with suppress(OSError):
            path.unlink(missing_ok=True)
        return None

    def files_status(self, digests: Iterable[str]) -> FilesStatus | None:
        """Return the status of some files; None if one is missing or is no regular file."""
        lasting, times, newest_ns = [], [], 0
        for digest in digests:
            try:
                found = os.lstat(f"{self.files}/{digest}")
            except OSError:
                return None
            if not stat.S_ISREG(found.st_mode):
                return None
            lasting.append((found.st_size, found.st_mtime_ns, found.st_ino))
            times.append(found.st_ctime_ns)
            newest_ns = max(newest_ns, found.st_mtime_ns, found.st_ctime_ns)
        first, second = (sha256(repr(each).encode()).hexdigest()[:32] for each in (lasting, times))
        return FilesStatus(f"{first} {second}", first, newest_ns)

    def note_intact(self, task: str, key: str, status: str) -> None:
        """Store the status of a result's files, whose bytes are known to have their digests."""
        self._tell("update result set intact = ? where task = ? and key = ?", [(status, task, key)])

    def digest_of_file(self, path: str, status: str) -> str | None:
        """Return the stored digest of an input file.

        None if there is none, or if the file had another status then.
        """
        row = self._ask("select digest from file where path = ? and status = ?", path, status)
        digest, _, seal = ("" if row is None else str(row[0])).partition(" ")
        return digest if seal and seal == _seal(path, status, digest) else None

    def store_digest_of_file(self, path: str, status: str, digest: str) -> None:
        """Store the digest of an input file."""
        self._pending.append((path, status, digest))
        if len(self._pending) > 1_000:
            self._flush()

    def take_pending(self) -> list[tuple[str, str, str]]:
        """Return the digests of files that are not written yet; a worker hands them to the process that writes."""
        pending, self._pending = self._pending, []
        return pending

    def _flush(self) -> None:
        rows = [(*row[:2], f"{row[2]} {_seal(*row)}") for row in self.take_pending()]
        self._tell("replace into file values (?, ?, ?)", rows)
        self.commit()

    def _ask(self, question: str, *values: Any) -> Any:
        try:
            return self._database.execute(question, values).fetchone()
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)
            return None

    def _tell(self, statement: str, rows: Collection[tuple[Any, ...]]) -> None:
        if not rows:
            return
        try:
            self._database.executemany(statement, rows)
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)
            self._database.executemany(statement, rows)

    def _sweep(self) -> None:
        """Delete results that no build has used for a long time, and files that no result refers to.

        Raises sqlite3.DatabaseError for a damaged row.
        """
        last = self._ask("select max(day) from swept")
        if last is None or (self._replaced < _REPLACED_BEFORE_SWEEP and last[0] == self._day):
            return
        with self._database:
            self._tell("delete from result where used < ?", [(self._day - KEPT_UNUSED_DAYS,)])
            self._tell("delete from swept where day <= ?", [(self._day,)])
            self._tell("insert into swept values (?)", [(self._day,)])
        in_use = set[str]()
        for task, key, code, trace, digest, files, seal in self._database.execute(
            "select task, key, code, trace, digest, files, seal from result"
        ):
            if seal != _seal(task, key, code, trace, digest, files):
                raise sqlite3.DatabaseError("a row that is not as it was written")
            in_use.update((digest, *json.loads(files)))
        for entry in os.scandir(self.files):
            if entry.name not in in_use:
                with suppress(OSError):
                    Path(entry.path).unlink()

    def _opened(self) -> sqlite3.Connection:
        for ending in (*_BESIDE, ""):
            file = self._file.with_name(self._file.name + ending)
            if os.path.lexists(file) and not stat.S_ISREG(os.lstat(file).st_mode):
                self._set_aside(file, "is not a regular file")
        try:
            return _open(self._file)
        except sqlite3.DatabaseError as fault:
            self._check_damage(fault)
            self._set_aside(self._file, f"is damaged or of another version ({fault})")
            return _open(self._file)

    def _begin_anew(self, fault: sqlite3.DatabaseError) -> None:
        self._check_damage(fault)
        self._database.close()
        self._set_aside(self._file, f"is damaged ({fault})")
        self._database = _open(self._file)

    def _check_damage(self, fault: sqlite3.DatabaseError) -> None:
        """Return if an error means that the database file is damaged. Otherwise raise it again."""
        code = getattr(fault, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF  # the rest says more of the same
        refuses_writing = code == sqlite3.SQLITE_READONLY and os.access(self._file, os.W_OK)
        if code in _FAULTS_OF_THE_DISK and not refuses_writing:
            raise fault

    def _set_aside(self, path: Path, why: str, lost: str = "everything") -> None:
        """Rename a damaged file or folder, replacing what was set aside before."""
        aside = set_aside(path)
        for ending in _BESIDE:
            path.with_name(path.name + ending).unlink(missing_ok=True)
        self._warn(f"{path} {why}: set aside as {aside.name}; {lost} is made again")


def _seal(*values: object) -> str:
    """Return a checksum of the values of a row, of whatever type a damaged file says they are."""
    return sha256("\0".join(map(str, values)).encode(errors="replace")).hexdigest()[:32]


def _open(file: Path) -> sqlite3.Connection:
    database = sqlite3.connect(file, timeout=60)
    try:
        version = database.execute("pragma user_version").fetchone()[0]
        if version == VERSION:
            database.execute("select 1 from result, file, swept limit 1")
            return database
        if version:
            raise sqlite3.DatabaseError(f"version {version}")
        # With a write-ahead log, workers read while the command writes, and no write waits for the disk.
        database.executescript(f"pragma journal_mode = wal; pragma synchronous = normal; {_SCHEMA}")
        database.execute(f"pragma user_version = {VERSION}")
    except sqlite3.DatabaseError:
        database.close()
        raise
    return database
