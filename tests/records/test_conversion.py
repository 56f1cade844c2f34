"""Whole inspections converted to visits: the fold states all that the newest inspection states, and loses nothing.

No outside source: the result is compared with the inspections themselves.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.reading.earlier_inspections import read_earlier
from sitegen.reading.validation.record_files import read_file
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.conversion import as_plain, converted
from sitegen.records.visits.current import current_record
from sitegen.records.visits.visit import VISIT, DefectNow
from tests.builders import a_vehicle
from tests.conftest import REPOSITORY

DEMO = REPOSITORY / "demo_site" / "vehicles"


def a_dent(name: str, **more: str) -> dict[str, str]:
    return {"id": name, "kind": "dent", "where": "left side, door", "affects": "looks", "words": "A dent.", **more}


def inspected(folder: Path) -> tuple[VehicleRecord, tuple[VehicleRecord, ...]]:
    """Return the record of a vehicle's folder, and its earlier inspections."""
    record = read_file(VehicleRecord, folder / "inspection.yaml", folder.name).record
    return record, tuple(
        file.reading.record for file in read_earlier(folder, folder / "inspection.yaml", folder.name)
    )


def test_the_demo_vehicle_with_two_inspections_folds_to_its_newest():
    """Each value that the newest states is current, and each value of the earlier one is kept."""
    newest, earlier = inspected(DEMO / "K106")
    assert earlier, "the demo store has a vehicle that was inspected twice"
    first, visits = converted(newest, earlier)
    current = current_record(first, visits)
    stated = current_record(newest, {}).stacks
    of_the_fold = ("defects", "history", "work_done", "inspection")
    assert {path for path in stated if path[0] not in of_the_fold} <= set(current.stacks)
    for path, stack in stated.items():
        if path[0] not in of_the_fold:
            assert current.stacks[path][-1].value == stack[-1].value, path
    for path, stack in current_record(first, {}).stacks.items():
        assert stack[0] in current.stacks[path], path
    assert {defect.id for defect in current.record.defects} >= {defect.id for defect in newest.defects}


@pytest.mark.parametrize("stock", ["K101", "K102", "K105"])
def test_a_vehicle_with_one_inspection_has_no_visits(stock):
    newest, earlier = inspected(DEMO / stock)
    assert converted(newest, earlier) == (newest, {})


def test_what_became_of_each_defect_is_carried_over():
    first = a_vehicle(defects=[a_dent(name, size="2 cm") for name in ("grew", "stayed", "fixed", "dirt", "unseen")])
    second = a_vehicle(
        inspection={"done_on": "2026-11-02", "at": "91,000 mi"},
        defects=[a_dent("grew", size="3 cm"), a_dent("stayed", size="2 cm"), a_dent("fresh")],
        work_done=[{"what": "Repaired.", "on": "2026-10-20", "settles": ["fixed"]}],
        history=[{"on": "2026-11-02", "what": "It was dirt.", "about": ["defects.dirt"]}],
    )
    start, visits = converted(second, [first])
    assert {defect.id: defect.now for defect in visits["2026-11-02"].defects} == {
        "grew": DefectNow.WORSE, "stayed": DefectNow.SAME, "fresh": None,
        "fixed": DefectNow.PUT_RIGHT, "dirt": DefectNow.NOT_FOUND,
    }  # fmt: skip
    current = current_record(start, visits)
    assert [defect.id for defect in current.record.defects] == ["grew", "stayed", "unseen", "fresh"]
    assert len(current.record.work_done) == len(first.work_done) + 1, "the repair is listed once"


def test_a_converted_visit_is_written_and_read_back_the_same():
    second = a_vehicle(inspection={"done_on": "2026-11-02", "gauges": {"tread": {"name": "Dial gauge"}}})
    _, visits = converted(second, [a_vehicle()])
    visit = visits["2026-11-02"]
    assert VISIT.model_validate(as_plain(visit)) == visit
    assert visit.gauges.tread.name.versions[""] == "Dial gauge"
