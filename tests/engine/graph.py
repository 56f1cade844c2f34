"""A small graph of tasks over the files of a folder, which asks one question of every kind."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sitegen.engine.reader import Reader
from sitegen.engine.task import BYTES, JSON, Input, given, task, typed


@dataclass(frozen=True)
class Settings:
    name: str
    color: str


def _load(store: Path, _key: str) -> Settings | None:
    file = store / "settings"
    return Settings(*file.read_text().split(",")) if file.exists() else None


SETTINGS: Input[Settings | None] = Input("test_settings", lambda store, _: [store / "settings"], _load)
WORDS: Input[str] = Input(
    "test_words",
    lambda store, key: [store / "words" / key],
    lambda store, key: "".join(file.read_text() for file in sorted((store / "words" / key).glob("*"))),
)


@task(JSON)
def length(read: Reader, key: str) -> int:
    """Return how many letters a file has."""
    path = read.file(f"files/{key}")
    return len(path.read_text()) if path.is_file() else -1


@task(BYTES)
def page(read: Reader, key: str) -> bytes:
    """Return a text that depends on the answer to a question of every kind."""
    settings = read.parts(SETTINGS)
    told = [
        f"{read.result(length, key)} letters",
        f"color {settings.color}" if settings else "no settings",
        f"words {read.input(WORDS, key)}",
        f"names {[name for name, _ in read.names('photos')]}",
        f"tree {sorted(file.read_text() for file in read.tree('pages').glob('*'))}",
        f"new {read.today > date(2026, 3, 1)}",
        f"program {read.program('numbering', ['x'], 'version').decode()}",
    ]
    return "\n".join(told).encode()


@given(typed(tuple[date, ...]))
def days_known() -> None:
    """Days that the command knows."""


@task(BYTES, seconds=1.0)
def days_page(read: Reader, key: str) -> bytes:
    """Return what was given."""
    return repr(read.result(days_known, key)).encode()


@task(BYTES, seconds=1.0)
def picture(read: Reader, key: str) -> bytes:
    """Keep the bytes of a file, doubled, and return their digest."""
    return read.keep(read.file(f"files/{key}").read_bytes() * 2).encode()


@task(BYTES, seconds=1.0)
def shared_page(read: Reader, key: str) -> bytes:
    """Return what workers of a cluster can compute: from a result, an input, a file and a kept file."""
    kept = read.kept_file(picture, key, read.result(picture, key).decode())
    settings = read.input(SETTINGS)
    return kept + read.file(f"files/{key}").read_bytes() + (settings.name.encode() if settings else b"")


@task(BYTES, seconds=1.0)
def faulty(_read: Reader, key: str) -> bytes:
    """Raise for one of the keys."""
    if key == "b":
        raise ValueError("b is wrong")
    return key.encode()


OUTSIDE: Input[str] = Input(
    "test_outside",
    lambda *_: [Path(os.environ["WORDS_OF_TEST"]) / "words"],
    lambda *_: (Path(os.environ["WORDS_OF_TEST"]) / "words").read_text(),
)
"""A file of each machine's own."""


@task(BYTES, seconds=1.0)
def needs_file(read: Reader, _key: str) -> bytes:
    """Return a file of the machine on which the task runs."""
    return read.input(OUTSIDE).encode()
