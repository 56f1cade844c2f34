"""A vehicle that was read before is not read again, and what is told of it is the same.

No outside source: what is told with a memory is compared with what is told without one.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pytest

from sitegen.commands.memory.sealed_memory import SealedMemory, remembered_records
from sitegen.reading.checks.sheet import Standards
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.reading.vehicle_files import VehicleFiles, read_vehicle
from sitegen.records.store import Region, SiteSettings
from sitegen.shared_data import content_folder
from tests.builders import some_settings
from tests.reading.texts import INSPECTION, TODAY, write_one

SHOWN_AS = "vehicles/K900/inspection.yaml"


@dataclass
class Case:
    """One vehicle, and what it is held against."""

    folder: Path
    memory: SealedMemory
    settings: SiteSettings
    standards: Standards

    def read(self, memory: SealedMemory | None) -> VehicleFiles:
        return read_vehicle(self.folder, SHOWN_AS, self.settings, self.standards, memory)

    def written(self) -> int:
        """Return when what is remembered was written."""
        return (self.folder.parents[2] / "remembered/K900").stat().st_mtime_ns

    def rewrite(self, old: str, new: str) -> None:
        text = (self.folder / "inspection.yaml").read_text("utf-8")
        assert old in text
        (self.folder / "inspection.yaml").write_text(text.replace(old, new, 1), "utf-8")

    def put(self, file: str, content: bytes = b"") -> None:
        (self.folder / file).parent.mkdir(exist_ok=True)
        (self.folder / file).write_bytes(content)

    def earlier(self) -> None:
        text = (self.folder / "inspection.yaml").read_bytes()
        self.put("inspections/2025-10-04.yaml", text + b"notes: As it was.\n")

    def on(self, day: date) -> None:
        self.standards = replace(self.standards, today=day)

    def standing(self, **changes: object) -> None:
        self.settings = self.settings.model_copy(update=changes)
        self.standards = replace(self.standards, region=self.settings.region)


@pytest.fixture
def case(tmp_path: Path) -> Case:
    """A vehicle with two warnings: a photo that nothing names, and a day of sale without a sale."""
    text = INSPECTION.replace("price: ", "price: $").replace("gasoline", "gas")
    folder = write_one(tmp_path / "store", f"{text}sold_on: 2026-10-10\n")
    content = content_folder()
    standards = Standards(TODAY, Region.UNITED_STATES, read_vocabulary(content), read_plausible(content), None)
    found = Case(folder, remembered_records(tmp_path / "remembered"), some_settings(), standards)
    found.put("photos/unused.jpg")
    return found


CHANGES: dict[str, Callable[[Case], object]] = {
    "a photo is added": lambda case: case.put("photos/another.jpg"),
    "a photo is taken away": lambda case: (case.folder / "photos/unused.jpg").unlink(),
    "a film is added": lambda case: case.put("video/walk.mp4"),
    "an earlier inspection is added": Case.earlier,
    "the record tells another price": lambda case: case.rewrite("price: $", "price: $1"),
    "the record is wrong": lambda case: case.rewrite("64,000 mi", "64,000"),
    "the record is gone": lambda case: (case.folder / "inspection.yaml").unlink(),
    "the record is no text": lambda case: case.put("inspection.yaml", b"\xff"),
    "the store's money is another": lambda case: case.standing(currency="EUR"),
    "the region is another": lambda case: case.standing(region=Region.EUROPEAN_UNION),
    "the clock was set back": lambda case: setattr(
        case, "standards", replace(case.standards, today=date(2026, 2, 1))
    ),
}


def told(read: VehicleFiles) -> tuple[object, ...]:
    return read.record, read.footage, read.problems


def test_what_was_right_is_told_again_without_being_read(case: Case):
    first = case.read(case.memory)
    assert len(first.problems) == 2
    assert first.record is not None
    written = case.written()
    again = case.read(case.memory)
    assert told(again) == told(first) == told(case.read(None))
    assert again.record is not None
    assert again.record.model_fields_set == first.record.model_fields_set
    assert again.read_from == first.read_from
    assert case.written() == written


@pytest.mark.parametrize("change", CHANGES)
def test_after_any_change_the_same_is_told_as_without_a_memory(case: Case, change: str):
    before = case.read(case.memory)
    CHANGES[change](case)
    after = case.read(case.memory)
    assert told(after) == told(case.read(None))
    assert told(after) != told(before)


def test_a_place_in_a_remembered_record_is_found(case: Case):
    first, again = case.read(case.memory), case.read(case.memory)
    assert first.sheet is not None
    assert again.sheet is not None
    path = ("inspection", "done_on")
    assert again.sheet.marks.value_place(path) == first.sheet.marks.value_place(path)


class _Harm:
    """What a pickle would run that was put there by somebody else."""

    def __reduce__(self) -> tuple[Callable[..., object], tuple[object, ...]]:
        return Path.write_text, (Path("harm"), "done")


def test_a_memory_that_somebody_else_wrote_runs_nothing(case: Case, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    first = case.read(case.memory)
    assert first.read_from is not None
    case.memory.keep("K900", first.read_from, pickle.dumps(_Harm()))
    assert told(case.read(case.memory)) == told(first)
    assert not Path("harm").exists()
