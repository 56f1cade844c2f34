"""Which addresses were ever published: what a link that was sent may lead to.

They are in the marker of the published folder, which keeps naming them as long as a notice answers there, and in the
build's memory, should that folder have been emptied.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from sitegen.publishing.marker import published_paths

_TABLE = "create table if not exists address (file text primary key) without rowid"
PAGE = ".html"


def addresses_published(cache: Path, to: Path) -> set[str]:
    """Return the paths of all pages that earlier builds published, to this folder or from this store."""
    pages = {path for path in published_paths(to) or () if path.endswith(PAGE)}
    file = cache / "memory.sqlite"
    if file.is_file():
        with closing(_opened(file)) as database:
            pages |= {row[0] for row in database.execute("select file from address")}
    return pages


def remember_addresses(cache: Path, paths: Iterable[str]) -> None:
    """Remember the pages among the paths of a site that was published."""
    cache.mkdir(parents=True, exist_ok=True)
    pages = [(path,) for path in paths if path.endswith(PAGE)]
    with closing(_opened(cache / "memory.sqlite")) as database, database:
        database.executemany("insert or ignore into address values (?)", pages)


def _opened(file: Path) -> sqlite3.Connection:
    database = sqlite3.connect(file, timeout=60)
    database.execute(_TABLE)
    return database
