"""Nothing dangerous is published unsaid, and little that is harmless is asked about."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.condition.basis.findings import Gate
from sitegen.condition.judging import judge_gate
from sitegen.records.vehicle_record import VehicleRecord
from tests.builders import a_vehicle, merged
from tests.condition.judged import US

DATA = Path(__file__).parent.parent / "data" / "condition"
DANGEROUS = yaml.safe_load((DATA / "dangerous.yaml").read_text("utf-8"))
HARMLESS = yaml.safe_load((DATA / "harmless.yaml").read_text("utf-8"))
SOUND: dict[str, Any] = {"defects": [], "photos": [], "before_delivery": []}


def record_of(case: dict[str, Any]) -> VehicleRecord:
    """Return a sound vehicle with the changes of a case; `null` takes a key out, `defect` is its only defect."""
    changes = without_nulls(case.get("record", {}))
    if "defect" in case:
        changes["defects"] = [{"id": "adverse", **case["defect"]}]
    return a_vehicle(**merged(SOUND, changes))


def without_nulls(written: Any) -> Any:
    if isinstance(written, dict):
        return {key: ... if value is None else without_nulls(value) for key, value in written.items()}
    return [without_nulls(entry) for entry in written] if isinstance(written, list) else written


def gate_of(case: dict[str, Any]) -> Gate:
    return judge_gate(record_of(case), US)


def test_the_sound_vehicle_says_nothing_first():
    gate = gate_of({})
    assert (gate.holding, gate.first_words) == ((), ())


@pytest.mark.parametrize("case", DANGEROUS, ids=lambda case: case["name"])
def test_what_is_dangerous_is_held_or_said_first(case):
    gate = gate_of(case)
    assert gate.holding or gate.first_words


def test_there_are_at_least_sixty_of_each():
    assert len(DANGEROUS) >= 60
    assert len(HARMLESS) >= 60


def test_at_most_three_harmless_records_are_asked_about():
    asked = [case["name"] for case in HARMLESS if not gate_of(case).may_publish]
    assert len(asked) <= 3, asked
