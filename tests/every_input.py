"""Edits of every input of a build, drawn from the questions that the traces of its tasks hold.

The program's words, figures and themes are in a copy that the edits may change too.
"""

from __future__ import annotations

import functools
import gc
import io
import json
import os
import random
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from unittest.mock import patch
from zoneinfo import ZoneInfo

from PIL import Image

from sitegen import shared_data
from sitegen.commands.shared.composition import BuildRequest, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.engine.engine import Engine
from sitegen.engine.task import INPUTS
from sitegen.photos.tasks import derived_pictures
from tests.builders import write_store
from tests.conftest import REPOSITORY

VIDEOS = REPOSITORY / "tests/data/videos"
PLACE = {"name": "Ferrow Lane East", "address": ["2 Ferrow Lane"], "phone": "+1 202 555 0143"}
FILM = {"clips": [{"file": "walk.webm", "station": "front", "captions": {"en": "walk.en.vtt"}}]}
SOLD = {
    **{"stock": "K902", "vin": "00ZWA5H41JD000103", "status": "sold", "sold_on": "2026-10-20"},
    **{"earlier_readings": [], "services": []},
}
CAPTIONS = "WEBVTT\n\n00:00.000 --> 00:01.000\nFront.\n\n00:01.000 --> 00:02.000\nRear.\n"


@dataclass
class Lot:
    """A store that uses every kind of input, a copy of the program's data, and the day."""

    store: Path
    data: Path
    today: date = date(2026, 11, 21)
    code: str = "this"
    """Stands for the program's code: stored results are valid for one only."""
    backup: dict[Path, bytes | None] = field(default_factory=dict)

    def outcome(self, cache: str = ".cache") -> object:
        """Compose the site. Return its pages, its problems and the digest of each result, or the kind of error."""
        _forget_what_is_loaded()
        wish = BuildRequest(self.store, moment=datetime.combine(self.today, time(12), ZoneInfo("America/Chicago")))
        quiet = Terminal(io.StringIO(), io.StringIO())
        with (
            patch.object(shared_data, "_PACKAGE", self.data),
            patch("sitegen.engine.engine.digest_of_program", lambda: self.code),
        ):
            with Engine.opened(self.store, self.today, _fail, self.store / cache) as engine:
                try:
                    composed = compose(wish, quiet, engine=engine)
                    pages = None if composed.site is None else dict(composed.site.pages)
                except Exception as fault:
                    return type(fault)
            return pages, sorted(set(composed.problems)), self._results(cache)

    def cold(self) -> object:
        """Return the outcome without any stored result, except pictures, which are named by what they are made of."""
        cache = self.store / ".cold"
        shutil.rmtree(cache, ignore_errors=True)
        shutil.copytree(self.store / ".cache", cache)
        with closing(sqlite3.connect(cache / "results.sqlite")) as database:
            database.execute("delete from result where task <> ?", (derived_pictures.name,))
            database.execute("delete from file")
            database.commit()
        return self.outcome(".cold")

    def questions(self, kind: str = "") -> list[str]:
        """Return every question that a task has asked, of one kind or of all."""
        with closing(sqlite3.connect(self.store / ".cache/results.sqlite")) as database:
            traces = [json.loads(trace) for (trace,) in database.execute("select trace from result")]
        return sorted({question for trace in traces for question, _ in trace if question.startswith(kind)})

    def files_of(self, question: str) -> list[Path]:
        """Return the files that answer a question; for a folder of names, one that does not exist yet."""
        kind, _, key = question.partition(" ")
        if kind == "names":
            return [self.store / key / "added.jpg"]
        if kind == "tree":
            found = [path for path in sorted((self.store / key).rglob("*")) if path.is_file()]
            return found or [self.store / key / "2025-01-01.yaml"]
        if kind == "file":
            return [self.store / key]
        name, _, own_key = key.partition(" ")
        with patch.object(shared_data, "_PACKAGE", self.data):
            places = list(INPUTS[name].places(self.store, own_key.partition(" ")[0]))
        files = [file for place in places for file in (place.rglob("*") if place.is_dir() else [place])]
        return sorted(file for file in files if not file.is_dir())

    def edit(self, question: str, dice: random.Random) -> None:
        """Change one input that answers a question."""
        if question.startswith("day "):
            day = date.fromisoformat(question.removeprefix("day "))
            self.today = max(date(2026, 11, 21), day + timedelta(dice.randint(-1, 1)))
        elif question.startswith("code"):
            self.code = f"another {dice.random()}"
        elif not question.startswith("result "):  # another task's result changes with what that task asks
            file = dice.choice(self.files_of(question))
            self.backup.setdefault(file, file.read_bytes() if file.is_file() else None)
            change(file, dice)

    def restore(self) -> None:
        """Take all edits of files back."""
        for file, content in self.backup.items():
            if content is None:
                file.unlink(missing_ok=True)
            else:
                file.write_bytes(content)
        self.backup.clear()

    def _results(self, cache: str) -> dict[tuple[str, str], str]:
        with closing(sqlite3.connect(self.store / cache / "results.sqlite")) as database:
            rows = database.execute("select task, key, digest from result").fetchall()
        existing = {folder.name for folder in (self.store / "vehicles").iterdir()}
        return {(task, key): digest for task, key, digest in rows if key in existing}


def are_same(warm: Any, cold: Any) -> bool:
    """Return whether two outcomes are the same, as far as the results go that both builds have asked for."""
    if not (isinstance(warm, tuple) and isinstance(cold, tuple)):
        return bool(warm == cold)
    common = warm[2].keys() & cold[2].keys()
    return warm[:2] == cold[:2] and all(warm[2][each] == cold[2][each] for each in common)


def change(file: Path, dice: random.Random) -> None:
    """Change a file in a way that its kind allows, so that mostly the store stays one that can be built."""
    mark = f"{dice.randrange(10**6)}"
    if file.suffix == ".jpg" and file.is_file():  # another photo of the same size and time
        times, content = file.stat(), file.read_bytes()
        with Image.open(file) as photo:
            turned = photo.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        turned.save(file, quality=60)
        short = file.read_bytes()[: len(content)]
        file.write_bytes(short + bytes(len(content) - len(short)))
        os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
    elif not file.exists():
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(b"new: [")
    elif file.name == "inspection.yaml":
        _put(file, r"price: \d+|sold_on: \d+-\d+-\d+", lambda old: f"{old[:-1]}{(int(old[-1]) + 1) % 10}")
    elif file.name == "site.yaml":
        pattern = dice.choice((r"(?m)^name: .*", r"Ferrow Lane East", r"currency: USD", r"\n- es"))
        _put(file, pattern, lambda old: {"currency: USD": "currency: CAD", "\n- es": ""}.get(old, f"{old} {mark}"))
    elif file.name == "services.yaml":
        _put(file, r"engine_oil: \d+", lambda _: f"engine_oil: {dice.randint(40, 60)}")
    elif file.suffix == ".po":
        text = file.read_text("utf-8")
        places = [match.end() for match in re.finditer(r'(?m)^msgstr "(?=[A-Z][a-z]+ )', text)]
        at = dice.choice(places) if places else len(text)
        file.write_text(f"{text[:at]}Q{text[at:]}" if places else f"{text}\n# {mark}\n", "utf-8")
    elif file.suffix == ".json":
        file.write_bytes(file.read_bytes() + b" ")
    elif file.suffix in (".html", ".md", ".vtt", ".txt"):
        comment = {".html": f"<!-- {mark} -->", ".md": f"\nMore words {mark}.\n"}.get(file.suffix, f"\nNOTE {mark}\n")
        file.write_text(file.read_text("utf-8") + comment, "utf-8")
    elif file.suffix in (".yaml", ".css", ".mjs", ".js"):
        comment = {".yaml": f"\n# {mark}\n", ".css": f"\n.own {{ order: {mark}; }}\n"}.get(
            file.suffix, f"\n// {mark}\n"
        )
        file.write_text(file.read_text("utf-8") + comment, "utf-8")
    else:
        file.write_bytes(file.read_bytes() + b"\0")


def _put(file: Path, pattern: str, text: Callable[[str], str]) -> None:
    file.write_text(re.sub(pattern, lambda found: text(found[0]), file.read_text("utf-8"), count=1), "utf-8")


@contextmanager
def lot_in(folder: Path) -> Iterator[Lot]:
    """Make a store with a film, two languages and places, an earlier version, a sold vehicle and its own template."""
    data = folder / "data"
    for part in ("content", "themes"):
        shutil.copytree(REPOSITORY / part, data / part)
    vehicles = ({"location": PLACE["name"], "film": FILM}, SOLD)
    settings = {"languages": ["en", "es"], "locations": [PLACE]}
    store = write_store(folder / "store", vehicles, settings, pages={"about.md": "# About us\n\nWe sell vehicles.\n"})
    film = store / "vehicles/K900/film"
    film.mkdir()
    shutil.copy(VIDEOS / "plain.webm", film / "walk.webm")
    (film / "walk.en.vtt").write_text(CAPTIONS, "utf-8")
    own = store / "theme/pages/window-sheet.html"
    own.parent.mkdir(parents=True)
    shutil.copy(data / "themes/daylight/pages/window-sheet.html", own)
    yield Lot(store, data)


def _fail(line: str) -> None:
    raise AssertionError(line)


def _forget_what_is_loaded() -> None:
    """Forget the data that functions of ours have read once: each command is a process of its own."""
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper) and (each.__module__ or "").startswith("sitegen."):
            each.cache_clear()
