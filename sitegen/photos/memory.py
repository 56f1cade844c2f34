"""What was made before, so that an unchanged photo is not decoded again: one SQLite file, and a folder of pictures.

The folder holds a picture under its name whole or not at all; the SQLite file knows it only once it is there. All of
it can be thrown away at any time, and costs only the time to make the pictures again.
"""

from __future__ import annotations

import json
import os
import sqlite3
import time
from collections.abc import Collection, Mapping
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path
from types import TracebackType
from typing import Self

from sitegen.disk import write_whole
from sitegen.photos.deriving.measuring import Measures
from sitegen.photos.planning.planning import PhotoFacts

KEPT_UNUSED = timedelta(days=30)
"""How long a picture is kept that no record asks for: a vehicle that comes back soon finds its pictures."""

_SCHEMA = """
create table if not exists photo (
    path text primary key, size integer, changed_ns integer, noticed_ns integer, facts text
) without rowid;
create table if not exists made (key text primary key, placeholder text, digest text, sizes text) without rowid;
create table if not exists measured (digest text primary key, measures text) without rowid;
"""
_VERSION = 2


@dataclass(frozen=True)
class Made:
    """What is known of the pictures of a photo."""

    placeholder: str
    """The photo's mean color as #rrggbb."""
    digest: str
    """SHA-256 of its largest picture, in hexadecimal."""


class Memory:
    """The store's `.cache` folder. Use as a context; one at a time."""

    def __init__(self, cache: Path) -> None:
        self.pictures = cache / "pictures"
        self.pictures.mkdir(parents=True, exist_ok=True)
        self._database = _open(cache / "memory.sqlite")
        with os.scandir(self.pictures) as entries:
            self._sizes = {entry.name: entry.stat().st_size for entry in entries}

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._database.close()

    def recall_photo(self, path: str, status: os.stat_result) -> PhotoFacts | None:
        """Return the facts of a photo file that has not changed since they were noted: same size and times."""
        row = self._database.execute(
            "select facts from photo where path = ? and size = ? and changed_ns = ? and noticed_ns = ?",
            (path, status.st_size, status.st_mtime_ns, status.st_ctime_ns),
        ).fetchone()
        return PhotoFacts(**json.loads(row[0])) if row else None

    def note_photo(self, path: str, status: os.stat_result, photo: PhotoFacts) -> None:
        """Note the facts of a photo file: its path in the store, and its status from before it was read."""
        with self._database:
            self._database.execute(
                "replace into photo values (?, ?, ?, ?, ?)",
                (path, status.st_size, status.st_mtime_ns, status.st_ctime_ns, json.dumps(asdict(photo))),
            )

    def recall_made(self, key: str) -> Made | None:
        """Return what is known of a photo's pictures if they are all there, or None if they must be made."""
        row = self._database.execute("select placeholder, digest, sizes from made where key = ?", (key,)).fetchone()
        if row is None:
            return None
        placeholder, digest, sizes = row
        all_there = all(self._sizes.get(name) == size for name, size in json.loads(sizes).items())
        return Made(placeholder, digest) if all_there else None

    def keep_made(self, key: str, made: Made, pictures: Mapping[str, bytes]) -> None:
        """Keep the pictures of a photo: first the files, then the note that they are there."""
        for name, picture in pictures.items():
            self.keep_picture(name, picture)
        sizes = json.dumps({name: len(picture) for name, picture in pictures.items()})
        with self._database:
            self._database.execute(
                "replace into made values (?, ?, ?, ?)", (key, made.placeholder, made.digest, sizes)
            )

    def keep_picture(self, name: str, picture: bytes) -> Path:
        """Write one picture, whole or not at all, and return where it is."""
        target = self.pictures / name
        write_whole(target, picture)
        self._sizes[name] = len(picture)
        return target

    def sweep(self, in_use: Collection[str]) -> None:
        """Throw away pictures made long ago that are not in use, and what runs that were killed left half-written.

        Share pictures are among them: those still wanted are drawn anew, at little cost, into the same bytes.
        """
        old = time.time() - KEPT_UNUSED.total_seconds()
        for entry in self.pictures.iterdir():
            if entry.name not in in_use and entry.stat().st_mtime < old:
                entry.unlink(missing_ok=True)
                self._sizes.pop(entry.name, None)

    def recall_measures(self, digest: str) -> Measures | None:
        """Return what was measured of a photo, by the digest of its bytes."""
        row = self._database.execute("select measures from measured where digest = ?", (digest,)).fetchone()
        return Measures(**json.loads(row[0])) if row else None

    def note_measures(self, digest: str, measures: Measures) -> None:
        """Note what was measured of a photo."""
        with self._database:
            self._database.execute("replace into measured values (?, ?)", (digest, json.dumps(asdict(measures))))


def _open(file: Path) -> sqlite3.Connection:
    try:
        return _prepared(file)
    except sqlite3.OperationalError:  # busy, or no right to write: nothing is wrong with the file
        raise
    except sqlite3.DatabaseError:  # no database any more, or one of another version: it is only a memory
        file.unlink()
        return _prepared(file)


def _prepared(file: Path) -> sqlite3.Connection:
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
