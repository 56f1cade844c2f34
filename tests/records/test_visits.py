"""The fold of a first inspection and its visits: order, idempotence, nothing vanishes, equal to one whole inspection.

No outside source: the properties are those of the design, checked on random visits.
"""

from __future__ import annotations

import json
from datetime import date
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.records.disclosure import Defect
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import Current, current_record, path_of_text
from sitegen.records.visits.visit import VISIT, DefectAtVisit, DefectNow, Visit
from tests.builders import a_vehicle

DENT = {"id": "door-dent", "kind": "dent", "where": "left side, door", "affects": "looks", "words": "A dent."}
FIRST = a_vehicle(
    status="preparing",
    tires={
        "left_front": {"date_code": "3523", "tread": {"outer": "7/32 in", "inner": "6/32 in"}}
    },
    battery={"tested": "540 CCA", "rated": "600 CCA"},
    brakes={"left_front": {"kind": "disc", "pads": "6 mm", "rotor": "24 mm"}},
    checks={"wipers_and_washers": "good"},
    defects=[{**DENT, "size": "28 mm"}],
    photos=[{"file": "front.jpg", "shows": "The front."}],
)  # fmt: skip
TIRE = ("tires", "left_front", "tread", "inner")


def a_visit(on: str = "2026-10-15", **values: Any) -> Visit:
    """Return a visit read from JSON, as strictly as its file would be."""
    return VISIT.model_validate_json(json.dumps({"on": on, **values}), strict=True)


def values(record: VehicleRecord) -> dict[str, Any]:
    """Return the values of a record, without the day and the person of its latest look."""
    return record.model_dump(mode="json", exclude={"inspection"})


def after(*visits: Visit) -> Current:
    """Return the current record after visits, named by their place."""
    return current_record(FIRST, {f"visit-{place}": visit for place, visit in enumerate(visits)})


depths = st.integers(2, 12).map(lambda figure: f"{figure}/32 in")
VALUES = st.fixed_dictionaries(
    {"on": st.dates(date(2026, 10, 5), date(2026, 12, 31)).map(date.isoformat)},
    optional={
        "at": st.integers(90_000, 99_000).map(lambda miles: f"{miles} mi"),
        "by": st.sampled_from(["our lead technician", "our salesperson"]),
        "price": st.integers(1_000, 20_000),
        "status": st.sampled_from(["for sale", "on hold"]),
        "tires": st.dictionaries(
            st.sampled_from(["left_front", "right_rear"]),
            st.fixed_dictionaries({}, optional={
                "tread": st.dictionaries(st.sampled_from(["outer", "inner"]), depths, min_size=1),
                "date_code": st.sampled_from(["1022", "1122"]),
            }),
        ),
        "battery": st.fixed_dictionaries({"tested": st.sampled_from(["300 CCA", "540 CCA"])}),
        "checks": st.dictionaries(
            st.sampled_from(["wipers_and_washers", "horn"]), st.sampled_from(["good", "attention"])
        ),
        "photos": st.lists(
            st.sampled_from(["front.jpg", "rear.jpg"]).map(lambda file: {"file": file, "shows": "A car."}), max_size=1
        ),
        "defects": st.sampled_from([
            [{"id": "door-dent", "now": "same as before"}],
            [{"id": "door-dent", "now": "worse", "size": "30 mm"}],
            [{**DENT, "id": "hood-chip", "kind": "stone chips"}],
        ]),
        "history": st.just([{"on": "2026-10-05", "what": "A correction."}]),
    },
)  # fmt: skip
UNTIMED = settings(deadline=None, max_examples=60)
VISITS = VALUES.map(lambda values: VISIT.model_validate_json(json.dumps(values), strict=True))


@UNTIMED
@given(st.lists(VISITS, max_size=3))
def test_the_order_in_which_visits_are_given_does_not_matter(visits):
    """Visits apply in the order of their moments, then of their names."""
    named = {f"visit-{place}": visit for place, visit in enumerate(visits)}
    results = [current_record(FIRST, dict(order)) for order in permutations(named.items())]
    assert all(result == results[0] for result in results)


@UNTIMED
@given(st.lists(VISITS, max_size=3), VISITS)
def test_a_visit_given_twice_changes_nothing_more(visits, last):
    named = {f"visit-{place}": visit for place, visit in enumerate(visits)}
    once = values(current_record(FIRST, {**named, "z-1": last}).record)
    assert values(current_record(FIRST, {**named, "z-1": last, "z-2": last}).record) == once


@UNTIMED
@given(st.lists(VISITS, max_size=4))
def test_no_value_vanishes_that_no_visit_takes_back(visits):
    """Every value ever stated is still there: as the current one, or among the previous ones of its path."""
    current = after(*visits)
    for place, visit in enumerate(visits):
        alone = current_record(FIRST, {f"visit-{place}": visit})
        for path, stack in alone.stacks.items():
            values = [stated.value for stated in current.stacks[path]]
            assert all(stated.value in values for stated in stack)
    assert {defect.id for defect in current.record.defects} >= {"door-dent"}


@UNTIMED
@given(st.lists(VISITS, max_size=3))
def test_stating_the_whole_result_at_one_visit_gives_the_same_record(visits):
    """A visit that states every current value is equal to the visits that led there."""
    result = after(*visits).record
    plain = result.model_dump(mode="json", exclude_unset=True)
    whole = {key: value for key, value in plain.items() if key not in ("stock", "vin", "inspection", "defects")}
    known = {defect.id for defect in FIRST.defects}
    whole["defects"] = [
        {**defect, "now": "same as before"} if defect["id"] in known else defect for defect in plain["defects"]
    ]
    again = current_record(FIRST, {"whole": a_visit("2027-01-01", **whole)}).record
    assert values(again) == values(result)


def test_a_visit_that_states_nothing_leaves_the_record_as_it_is():
    assert values(after(a_visit()).record) == values(FIRST) == values(after().record)


def test_a_value_keeps_its_day_its_person_and_its_previous_values():
    current = after(a_visit(by="our salesperson", tires={"left_front": {"tread": {"inner": "5/32 in"}}}))
    source, (before,) = current.source_of(TIRE), current.previous(TIRE)
    assert (source.on, source.by.versions[""], source.visit) == (date(2026, 10, 15), "our salesperson", "visit-0")
    assert (before.value.written, before.source.on) == ("6/32 in", FIRST.inspection.done_on)
    assert current.source_of(("tires", "left_front", "tread", "outer")).visit == "", "nobody measured it again"
    assert current.record.tires.left_front.tread.outer.written == "7/32 in"


def test_of_two_values_on_one_day_the_later_counts_and_both_are_kept():
    morning = a_visit("2026-10-15T09:00-05:00", tires={"left_front": {"tread": {"inner": "5/32 in"}}})
    noon = a_visit("2026-10-15T12:00-05:00", tires={"left_front": {"tread": {"inner": "4/32 in"}}})
    current = after(noon, morning)
    assert current.record.tires.left_front.tread.inner.written == "4/32 in"
    ((path, before, last),) = current.differing()
    assert (path, before.value.written, last.value.written) == (TIRE, "5/32 in", "4/32 in")


def test_a_withdrawn_value_gives_way_to_the_one_before_it():
    wrong = a_visit(tires={"left_front": {"tread": {"inner": "2/32 in"}}})
    current = after(wrong, a_visit("2026-10-16", withdraw=["tires.left_front.tread", "photos.rear.jpg"]))
    assert values(current.record) == values(FIRST)
    assert current.unknown_withdrawals == (("visit-1", "photos.rear.jpg"),)


@pytest.mark.parametrize(
    ("renews", "ended", "kept"),
    [
        ("tires.left_front", TIRE, ("battery", "tested")),
        ("tires", TIRE, ("battery", "tested")),
        ("battery", ("battery", "tested"), TIRE),
        ("brakes.left_front", ("brakes", "left_front", "pads", "inner"), ("brakes", "left_front", "rotor")),
        ("checks.wipers_and_washers", None, ("checks", "wipers_and_washers")),
    ],
)
def test_the_first_value_of_a_renewed_part_ends_the_values_of_the_old_one(renews, ended, kept):
    work = {"what": "Renewed.", "on": "2026-10-15", "renews": [renews]}
    alone = after(a_visit(work_done=[work]))
    assert ended is None or alone.source_of(ended).visit == "", "nobody measured the new part"
    new = {
        "tires": {"left_front": {"tread": {"outer": "10/32 in"}}},
        "battery": {"rated": "600 CCA"},
        "brakes": {"left_front": {"kind": "disc", "new_pads": "11 mm"}},
        "checks": {"horn": "good"},
    }
    group = renews.partition(".")[0]
    current = after(a_visit(work_done=[work]), a_visit("2026-10-16", **{group: new[group]}))
    assert current.source_of(kept).visit == ""
    assert ended is None or current.source_of(ended) is None
    again = after(a_visit(work_done=[work], battery={"tested": "600 CCA"}), a_visit("2026-10-20", work_done=[work]))
    assert again.record.battery.tested.written == "600 CCA", "the work is known, and ends no value of the new part"


def test_a_defect_that_was_put_right_leaves_the_list_with_the_work_that_did_it():
    current = after(a_visit(defects=[{"id": "door-dent", "now": "put right", "done": "Pulled out."}]))
    assert current.record.defects == ()
    assert current.record.states("defects")
    assert [(work.what.versions[""], work.settles) for work in current.record.work_done][-1] == (
        "Pulled out.", ("door-dent",),
    )  # fmt: skip
    (ended,) = current.ended_defects
    assert (ended.id, ended.now, ended.source.on) == ("door-dent", DefectNow.PUT_RIGHT, date(2026, 10, 15))
    back = after(
        a_visit(defects=[{"id": "door-dent", "now": "put right", "done": "Pulled out."}]),
        a_visit("2026-11-01", defects=[{"id": "door-dent", "now": "worse", "size": "30 mm"}]),
    )
    assert [defect.size.written for defect in back.record.defects] == ["30 mm"], "it has come back"


def test_a_defect_that_is_not_found_leaves_the_list_with_an_event_that_says_why():
    current = after(a_visit(defects=[{"id": "door-dent", "now": "not found", "reason": "It was dirt."}]))
    assert current.record.defects == ()
    assert [(event.what.versions[""], event.about) for event in current.record.history][-1] == (
        "It was dirt.", ("defects.door-dent",),
    )  # fmt: skip


def test_the_odometer_of_a_visit_becomes_the_reading():
    odometer = after(a_visit(at="95,000 mi")).record.odometer
    assert (odometer.reading.written, odometer.read_on) == ("95,000 mi", date(2026, 10, 15))
    assert odometer.statement is FIRST.odometer.statement


def test_an_entry_that_a_list_has_is_not_listed_twice():
    entry = {"service": "engine_oil", "done_on": "2026-10-01"}
    services = after(a_visit(services=[entry]), a_visit("2026-10-16", services=[entry])).record.services
    assert [done.service for done in services].count("engine_oil") == 1 + sum(
        done.service == "engine_oil" for done in FIRST.services
    )


def test_a_defect_at_a_visit_has_every_key_of_a_defect():
    assert set(DefectAtVisit.model_fields) == {*Defect.model_fields, "now", "reason"}


def test_a_visit_has_every_key_of_the_record_but_those_of_its_identity():
    keys = {*VehicleRecord.model_fields} - {"stock", "vin", "inspection"}
    assert set(VISIT.model_fields) == {*keys, "on", "at", "by", "gauges", "withdraw"}


def test_the_file_name_of_a_photo_may_contain_dots():
    assert path_of_text("photos.front.left.jpg") == ("photos", "front.left.jpg")
    assert path_of_text("tires.left_front.tread") == ("tires", "left_front", "tread")
