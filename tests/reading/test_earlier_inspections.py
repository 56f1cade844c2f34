"""Earlier inspections beside the record: read whole, held to the same rules, and never running backward."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.reading.store import read_store
from tests.builders import an_inspection, write_store

TODAY = date(2026, 11, 1)
BEFORE = {
    "inspection": {"done_on": "2026-05-02", "at": "60,000 mi"},
    "odometer": {"reading": "60,000 mi", "read_on": "2026-05-02"},
    "services": [],
    "work_done": [],
}


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return write_store(tmp_path / "store")


def add(store: Path, day: str = "2026-05-02", **changes: Any) -> Path:
    file = store / "vehicles/K900/inspections" / f"{day}.yaml"
    file.parent.mkdir(exist_ok=True)
    file.write_text(yaml.safe_dump(an_inspection(**{**BEFORE, **changes}), sort_keys=False), "utf-8")
    return file


def told(store: Path) -> list[str]:
    return [problem.as_line() for problem in read_store(store, TODAY)[1]]


def test_earlier_inspections_are_attached_latest_first(store: Path):
    add(store)
    add(store, "2025-11-03", inspection={"done_on": "2025-11-03", "at": "55,000 mi"},
        odometer={"reading": "55,000 mi", "read_on": "2025-11-03"})  # fmt: skip
    found, problems = read_store(store, TODAY)
    assert found is not None, problems
    days = [str(earlier.inspection.done_on) for earlier in found.vehicles[0].record.earlier]
    assert days == ["2026-05-02", "2025-11-03"]


def test_days_and_readings_that_run_backward_are_reported(store: Path):
    file = add(store, inspection={"done_on": "2026-05-02", "at": "70,000 mi"},
               odometer={"reading": "70,000 mi", "read_on": "2026-05-02"})  # fmt: skip
    line = next(number for number, text in enumerate(file.read_text().splitlines(), 1) if "70,000" in text)
    expected = f"at least 70,000 mi, the reading of vehicles/K900/inspections/2026-05-02.yaml:{line}"
    wrong = [told for told in told(store) if expected in told]
    assert [text.split(": ")[1] for text in wrong] == ["odometer.reading", "inspection.at"]
    assert all(text.startswith("vehicles/K900/inspection.yaml:") for text in wrong)
    file.unlink()
    add(store, "2026-10-04", inspection={"done_on": "2026-10-04"})
    assert any("a day after 2026-10-04" in text for text in told(store))


def test_a_file_of_another_vehicle_or_day_is_reported(store: Path):
    add(
        store,
        "2026-05-03",
        vin="00ZWA5H4XJD000102",
        stock="K7",
        tires={"left_front": {"tread": {"inner": "7/23 in"}}},
    )
    wrong = [text for text in told(store) if text.startswith("vehicles/K900/inspections/2026-05-03.yaml:")]
    for where in ("vin", "stock", "inspection.done_on", "tires.left_front.tread.inner"):
        assert any(f" {where}: " in text for text in wrong), where
    assert read_store(store, TODAY)[0] is None


def test_an_open_earlier_finding_gets_a_warning_until_history_answers_it(store: Path):
    add(store, checks={"horn": "attention"})
    (warning,) = told(store)
    assert "nothing of checks.horn, noted on 2026-05-02" in warning
    file = store / "vehicles/K900/inspection.yaml"
    word = {"on": "2026-10-05", "what": "It was the fuse, which is new.", "about": ["checks.horn"]}
    file.write_text(yaml.safe_dump(an_inspection(history=[word]), sort_keys=False), "utf-8")
    assert told(store) == []


def test_a_copy_of_the_record_itself_is_no_earlier_inspection(store: Path):
    file = add(store, "2026-10-04")
    file.write_bytes((store / "vehicles/K900/inspection.yaml").read_bytes())
    found, problems = read_store(store, TODAY)
    assert problems == ()
    assert found is not None
    assert found.vehicles[0].record.earlier == ()
