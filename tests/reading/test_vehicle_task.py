"""A vehicle is read again exactly when something that its record rests on has changed.

No outside source: each result is compared with that of an engine that stored nothing.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from sitegen.engine.engine import Engine
from sitegen.engine.reader import Reader
from sitegen.engine.task import INPUTS
from sitegen.reading.every_vehicle import read_vehicles, standards_of
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import VehicleFiles
from sitegen.reading.vehicle_task import vehicle_files, vehicle_result
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder
from tests.builders import A_SECOND_VEHICLE, write_store
from tests.conftest import REPOSITORY
from tests.reading.texts import TODAY

INSPECTION = "vehicles/K900/inspection.yaml"


@dataclass
class Case:
    """A store with one vehicle, and the day."""

    store: Path
    today: date = TODAY

    @property
    def folder(self) -> Path:
        return self.store / "vehicles/K900"

    def read(self) -> tuple[VehicleFiles, bool]:
        """Return the vehicle, and whether it was read."""
        settings = read_file(SiteSettings, self.store / "site.yaml", "site.yaml").sound_part
        standards = standards_of(settings.region if settings else None, self.today)
        with Engine.opened(self.store, self.today, pytest.fail) as engine:
            (found,) = read_vehicles([self.folder], settings, standards, engine)
            return found, bool(engine.ran)

    def read_cold(self) -> VehicleFiles:
        cache = self.store / ".cache"
        if cache.exists():
            cache.rename(self.store / ".kept")
        found, _ = self.read()
        shutil.rmtree(cache)
        if (self.store / ".kept").exists():
            (self.store / ".kept").rename(cache)
        return found

    def replace(self, file: str, pattern: str, text: str) -> None:
        written, count = re.subn(pattern, text, (self.store / file).read_text("utf-8"), count=1)
        assert count
        (self.store / file).write_text(written, "utf-8")

    def put(self, file: str, content: bytes = b"") -> None:
        (self.folder / file).parent.mkdir(exist_ok=True)
        (self.folder / file).write_bytes(content)

    def visit(self) -> None:
        self.put("visits/2026-10-15.yaml", b"on: 2026-10-15\nchecks: {horn: good}\n")


@pytest.fixture
def case(tmp_path: Path) -> Case:
    """A vehicle with warnings: a photo that nothing names, and a day of sale without a sale."""
    store = write_store(tmp_path / "store", (A_SECOND_VEHICLE | {"stock": "K900"},))
    found = Case(store)
    record = found.folder / "inspection.yaml"
    record.write_text(f"{record.read_text('utf-8').rstrip()}\nsold_on: 2026-10-10\n", "utf-8")
    found.replace(INSPECTION, "price: ", "price: $")
    found.put("photos/unused.jpg")
    return found


CHANGES: dict[str, tuple[str, Callable[[Case], object]]] = {
    "a photo is added": ("names", lambda case: case.put("photos/another.jpg")),
    "a photo is taken away": ("names", lambda case: (case.folder / "photos/unused.jpg").unlink()),
    "a film is added": ("names", lambda case: case.put("film/walk.mp4")),
    "a visit is added": ("tree", Case.visit),
    "the record has another price": ("file", lambda case: case.replace(INSPECTION, r"price: \$", "price: $1")),
    "the record is wrong": ("file", lambda case: case.replace(INSPECTION, r"price: .*", "price: much")),
    "the record is gone": ("file", lambda case: (case.folder / "inspection.yaml").unlink()),
    "the record is no text": ("file", lambda case: case.put("inspection.yaml", b"\xff")),
    "the store's money is another": ("part", lambda case: case.replace("site.yaml", "USD", "EUR")),
    "the clock was set back": ("day", lambda case: setattr(case, "today", date(2026, 2, 1))),
}


def values_of(found: VehicleFiles) -> tuple[object, ...]:
    return found.record, found.clips, found.problems


def test_an_unchanged_vehicle_is_not_read_and_is_the_same(case: Case):
    first, was_read = case.read()
    assert was_read
    assert len(first.problems) >= 2
    assert first.record is not None
    again, was_read = case.read()
    assert not was_read
    assert values_of(again) == values_of(first) == values_of(case.read_cold())
    assert again.record is not None
    assert again.record.model_fields_set == first.record.model_fields_set
    assert first.sheet is not None
    assert again.sheet is not None
    path = ("inspection", "done_on")
    assert again.sheet.marks.value_place(path) == first.sheet.marks.value_place(path)


@pytest.mark.parametrize("change", CHANGES)
def test_after_any_change_the_result_is_that_of_a_cold_read(case: Case, change: str):
    before, _ = case.read()
    CHANGES[change][1](case)
    after, _ = case.read()
    assert values_of(after) == values_of(case.read_cold())
    assert values_of(after) != values_of(before)


@pytest.mark.parametrize("kind", ["file", "names", "tree", "part", "day"])
def test_a_reader_that_omits_a_kind_of_recording_gives_a_stale_result(
    case: Case, kind: str, monkeypatch: pytest.MonkeyPatch
):
    """At least one of the changes then gives the result of before."""
    record = Reader._record

    def forget(read: Reader, question: str) -> None:
        if not question.startswith(f"{kind} "):
            record(read, question)

    monkeypatch.setattr(Reader, "_record", forget)
    stale = 0
    for number, (of_kind, change) in enumerate(CHANGES.values()):
        if of_kind == kind:
            copy = Case(shutil.copytree(case.store, case.store.with_name(f"copy {number}")))
            before, _ = copy.read()
            change(copy)
            stale += values_of(copy.read()[0]) == values_of(before)
    assert stale


OPENED: list[str] = []


def _note_opened(event: str, arguments: tuple[object, ...]) -> None:
    if event in ("open", "os.scandir", "os.listdir") and isinstance(arguments[0], str | os.PathLike):
        OPENED.append(os.fspath(arguments[0]))


@pytest.fixture
def opened() -> list[str]:
    """Every path that is opened or listed from now on. An audit hook stays for good, so it is added once."""
    if _note_opened not in _HOOKS:
        _HOOKS.append(_note_opened)
        sys.addaudithook(_note_opened)
    OPENED.clear()
    return OPENED


_HOOKS: list[object] = []


def test_a_store_that_was_moved_with_its_cache_finds_its_film(tmp_path: Path):
    """The stored result of a vehicle names its film within the vehicle's folder, wherever the store is now."""
    first, second = tmp_path / "first", tmp_path / "second"
    shutil.copytree(REPOSITORY / "demo_site", first, ignore=shutil.ignore_patterns("published", ".cache"))
    with Engine.opened(first, TODAY, pytest.fail) as engine:
        engine.result(vehicle_result, "K102")
    first.rename(second)
    with Engine.opened(second, TODAY, pytest.fail) as engine:
        found = engine.result(vehicle_result, "K102")
        assert engine.ran == []
        standards = standards_of(None, TODAY)
        moved = vehicle_files(found, second / "vehicles" / "K102", standards).clips
    assert len(moved) == 6
    assert all(clip.path.is_relative_to(second) and clip.path.is_file() for clip in moved)


def test_every_file_that_reading_opens_is_in_the_trace(tmp_path: Path, opened: list[str]):
    """On the demo's vehicle with a film, whose folder holds every kind of file. Source: Python's audit events."""
    store = tmp_path / "store"
    shutil.copytree(REPOSITORY / "demo_site", store, ignore=shutil.ignore_patterns("published", ".cache"))
    with Engine.opened(store, TODAY, pytest.fail) as engine:
        opened.clear()
        engine.result(vehicle_result, "K102")
        read = {Path(path) for path in opened}
        found = engine.store.find(vehicle_result.name, "K102")
    assert found is not None
    places = [store / "site.yaml"]
    for kind, key in (question.split(" ", 1) for question, _ in found.trace):
        name, _, rest = key.partition(" ")
        is_input = kind in ("input", "part")
        places += INPUTS[name].places(store, rest.partition(" ")[0]) if is_input else [store / key]
    inside = {path for path in read if path.is_relative_to(store) and ".cache" not in path.parts}
    inside |= {path for path in read if path.is_relative_to(content_folder()) and path.is_file()}
    assert store / "vehicles/K102/inspection.yaml" in inside
    assert not {path for path in inside if not any(path.is_relative_to(place) for place in places)}


def test_a_record_that_raises_is_a_problem_of_its_vehicle(case: Case):
    """The escape of a YAML text for a code point beyond Unicode's last, U+10FFFF."""
    case.replace(INSPECTION, r"\Z", 'notes: "\\\\U00110000"\n')
    found, _ = case.read()
    assert found.record is None
    (problem,) = found.problems
    assert problem.file == INSPECTION
    assert "cannot be processed" in problem.found
