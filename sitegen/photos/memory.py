"""What was made before, so that an unchanged photo is not decoded again: one SQLite file, and a folder of pictures.

The folder holds a picture under its name whole or not at all; the SQLite file knows it only once it is there. All of
it can be thrown away at any time, and costs only the time to make the pictures again.
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import time
import zlib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sitegen.disk import write_whole
from sitegen.photos.deriving.measuring import Measures
from sitegen.photos.planning.planning import PhotoFacts

KEPT_UNUSED = timedelta(days=30)
"""How long a picture is kept that no record asks for: a vehicle that comes back soon finds its pictures."""

_SCHEMA = """
create table if not exists photo (
    path text primary key, size integer, changed_ns integer, noticed_ns integer, facts text
) without rowid;
create table if not exists made (key text primary key, known text) without rowid;
create table if not exists measured (digest text primary key, measures text) without rowid;
"""
_VERSION = 3

_NO_DAMAGE = {
    *(sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR),
    *(sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_READONLY),
}
"""Faults of SQLite that tell of the disk, of rights or of others at work, and not of what the file holds."""


@dataclass(frozen=True)
class Made:
    """What is known of the pictures of a photo."""

    placeholder: str
    """The photo's mean color as #rrggbb."""
    digest: str
    """SHA-256 of its largest picture, in hexadecimal."""


class Memory:
    """The store's `.cache` folder. Use as a context; one at a time.

    Whatever was damaged in it is as if it had never been noted, and is made again.
    """

    def __init__(self, cache: Path) -> None:
        self.pictures = cache / "pictures"
        self.pictures.mkdir(parents=True, exist_ok=True)
        self._notes = _Notes(cache / "memory.sqlite")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._notes.close()

    def recall_photo(self, path: str, status: os.stat_result) -> PhotoFacts | None:
        """Return the facts of a photo file that has not changed since they were noted: same size and times."""
        facts = self._notes.recall(
            "select facts from photo where path = ? and size = ? and changed_ns = ? and noticed_ns = ?",
            (path, status.st_size, status.st_mtime_ns, status.st_ctime_ns),
        )
        return None if facts is None else PhotoFacts(**facts)

    def noted_photos(self) -> set[str]:
        """Return the paths of all photo files whose facts were ever noted."""
        return self._notes.listed("select path from photo")

    def note_photos(self, photos: Iterable[tuple[str, os.stat_result, PhotoFacts]]) -> None:
        """Note the facts of photo files: each one's path in the store, and its status from before it was read."""
        noted = [
            ((path, status.st_size, status.st_mtime_ns, status.st_ctime_ns), asdict(facts))
            for path, status, facts in photos
        ]
        self._notes.note("replace into photo values (?, ?, ?, ?, ?)", *noted)

    def recall_made(self, key: str) -> Made | None:
        """Return what is known of a photo's pictures if they are all there as they were made; else they must be made.

        A picture is as it was if its size and its time of change are; where the time is another, if its digest is.
        """
        known = self._notes.recall("select known from made where key = ?", (key,))
        if known is None:
            return None
        found = {name: self._look_at(name, *noted) for name, noted in known["pictures"].items()}
        if None in found.values():
            return None
        if found != {name: tuple(noted) for name, noted in known["pictures"].items()}:
            self._note_made(key, {**known, "pictures": found})
        return Made(known["placeholder"], known["digest"])

    def keep_made(self, key: str, made: Made, pictures: Mapping[str, bytes]) -> None:
        """Keep the pictures of a photo: first the files, then the note that they are there."""
        kept = {}
        for name, picture in pictures.items():
            target = self.pictures / name
            write_whole(target, picture)
            kept[name] = (len(picture), target.stat().st_mtime_ns, hashlib.sha256(picture).hexdigest())
        self._note_made(key, {**asdict(made), "pictures": kept})

    def _look_at(self, name: str, size: int, changed_ns: int, digest: str) -> tuple[int, int, str] | None:
        """Return what to note of a picture from now on; None if it is not what was made."""
        try:
            status = (self.pictures / name).stat()
            if status.st_size != size:
                return None
            if status.st_mtime_ns != changed_ns:
                picture = (self.pictures / name).read_bytes()
                if hashlib.sha256(picture).hexdigest() != digest:
                    return None
        except OSError:
            return None
        return size, status.st_mtime_ns, digest

    def _note_made(self, key: str, known: Mapping[str, Any]) -> None:
        self._notes.note("replace into made values (?, ?)", ((key,), known))

    def sweep(self, in_use: Collection[str]) -> None:
        """Throw away pictures made long ago that are not in use, and what runs that were killed left half-written.

        Share pictures are among them: those still wanted are drawn anew, at little cost, into the same bytes.
        """
        old = time.time() - KEPT_UNUSED.total_seconds()
        for entry in self.pictures.iterdir():
            if entry.name not in in_use and entry.stat().st_mtime < old:
                entry.unlink(missing_ok=True)

    def recall_measures(self, digest: str) -> Measures | None:
        """Return what was measured of a photo, by the digest of its bytes."""
        measures = self._notes.recall("select measures from measured where digest = ?", (digest,))
        return None if measures is None else Measures(**measures)

    def note_measures(self, digest: str, measures: Measures) -> None:
        """Note what was measured of a photo."""
        self._notes.note("replace into measured values (?, ?)", ((digest,), asdict(measures)))


class _Notes:
    """A SQLite file of notes, each with a checksum. One that is damaged is begun anew: it is only a memory."""

    def __init__(self, file: Path) -> None:
        self._file = file
        try:
            self._database = _opened(file)
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)

    def close(self) -> None:
        self._database.close()

    def recall(self, question: str, values: tuple[Any, ...]) -> dict[str, Any] | None:
        """Return the note that answers a question; None if there is none, or it is not as it was written."""
        try:
            row = self._database.execute(question, values).fetchone()
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)
            return None
        return None if row is None else _unsealed(row[0])

    def listed(self, question: str) -> set[str]:
        """Return the texts that answer a question."""
        try:
            return {text for (text,) in self._database.execute(question)}
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)
            return set()

    def note(self, statement: str, *notes: tuple[tuple[Any, ...], Mapping[str, Any]]) -> None:
        """Write notes down, each as the last of the values beside it: all at once, for the disk takes its time."""
        rows = [(*values, _sealed(note)) for values, note in notes]
        try:
            self._write(statement, rows)
        except sqlite3.DatabaseError as fault:
            self._begin_anew(fault)
            self._write(statement, rows)

    def _write(self, statement: str, rows: list[tuple[Any, ...]]) -> None:
        with self._database:
            self._database.executemany(statement, rows)

    def _begin_anew(self, fault: sqlite3.DatabaseError) -> None:
        """Throw the file away and begin another, unless the fault is none of the file's: then raise it."""
        code = getattr(fault, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF  # what follows tells more closely
        claims_no_right = code == sqlite3.SQLITE_READONLY and os.access(self._file, os.W_OK)
        if code in _NO_DAMAGE and not claims_no_right:
            raise fault
        if hasattr(self, "_database"):
            self._database.close()
        for ending in ("", "-wal", "-shm"):
            self._file.with_name(self._file.name + ending).unlink(missing_ok=True)
        self._database = _opened(self._file)


def _sealed(note: Mapping[str, Any]) -> str:
    text = json.dumps(note)
    return f"{zlib.crc32(text.encode()):08x}{text}"


def _unsealed(written: object) -> dict[str, Any] | None:
    if not isinstance(written, str) or f"{zlib.crc32(written[8:].encode()):08x}" != written[:8]:
        return None
    note: dict[str, Any] = json.loads(written[8:])
    return note


def _opened(file: Path) -> sqlite3.Connection:
    database = sqlite3.connect(file, timeout=60)
    try:
        version = database.execute("pragma user_version").fetchone()[0]
        if version not in (0, _VERSION):
            raise sqlite3.DatabaseError(f"version {version}")
        # A write-ahead log stays whole in a power cut without waiting for the disk at every photo.
        database.executescript(f"pragma journal_mode = wal; pragma synchronous = normal; {_SCHEMA}")
        database.execute(f"pragma user_version = {_VERSION}")
    except sqlite3.DatabaseError:
        database.close()
        raise
    return database
