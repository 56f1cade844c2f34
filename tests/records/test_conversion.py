"""Whole inspections converted to visits: the fold states all that the newest inspection states, and loses nothing.

No outside source: the result is compared with the inspections themselves.
"""

from __future__ import annotations

from sitegen.records.visits.conversion import as_plain, converted, visit_of
from sitegen.records.visits.current import current_record
from sitegen.records.visits.visit import VISIT, DefectNow
from tests.builders import a_vehicle
from tests.conftest import REPOSITORY

DEMO = REPOSITORY / "demo_site" / "vehicles"


def a_dent(name: str, **more: str) -> dict[str, str]:
    return {"id": name, "kind": "dent", "where": "left side, door", "affects": "looks", "words": "A dent.", **more}


def test_a_vehicle_with_two_inspections_folds_to_its_newest():
    """Each value that the newest states is current, and each value of the earlier one is kept."""
    earlier = a_vehicle(battery={"tested": "560 CCA"}, notes="As it came in.", inspection={"done_on": "2026-05-02"})
    newest = a_vehicle(checks={"horn": "attention"}, defects=[a_dent("fresh")])
    first, visits = converted(newest, [earlier])
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


def test_a_vehicle_with_one_inspection_has_no_visits():
    assert converted(a_vehicle(), []) == (a_vehicle(), {})


def test_a_point_that_was_not_checked_keeps_what_was_found_before():
    first = a_vehicle(checks={"horn": "attention", "headlights": "good"})
    now = a_vehicle(inspection={"done_on": "2026-11-02"}, checks={"horn": "not checked", "headlights": "good"})
    checks = as_plain(visit_of(now, first))["checks"]
    assert (checks.get("horn"), checks["headlights"]) == (None, "good")


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
