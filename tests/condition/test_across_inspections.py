"""Faults of an earlier look that nobody mentions again, and what answers them. Silence puts nothing right.

Every case here was once deleted from the code without a test that failed.
"""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.condition.basis.findings import SinceFinding
from tests.builders import BASE_INSPECTION, a_vehicle
from tests.condition.judged import US, judged, said
from tests.condition.test_since import line_of_tires, looked_at_twice, tires

THEN = "2026-05-02"
"""The day of the earlier inspection in `looked_at_twice`."""

DRUM: dict[str, Any] = {
    **{"kind": "drum", "drum": "283.0 mm", "drum_discard": "282.0 mm"},
    **{"shoes": {"leading": "4 mm"}, "new_shoes": "6 mm", "bonded": True},
    **dict.fromkeys(("pads", "new_pads", "rotor", "rotor_discard"), ...),
}
"""A drum worn past the largest diameter that its maker marked (49 CFR 570.5(b)(1)), with good shoes."""


@pytest.mark.parametrize("kind", US.tires.ends_life)
def test_a_defect_that_ended_a_tire_holds_the_page_though_nobody_looked_again(kind: str):
    where = {"station": "left front", "part": "tire"}
    bulge = {"id": "bulge", "kind": kind, "where": where, "affects": "function", "words": "A bulge."}
    silent = looked_at_twice({"defects": [bulge]}, {})
    assert [(hold.where, hold.said.key) for hold in silent.gate.holding] == [("defects.0.kind", "gate.tire_ended")]
    work = {"what": "Replace the tire.", "on": "2026-09-01", "settles": ["bulge"]}
    assert looked_at_twice({"defects": [bulge]}, {"work_done": [work]}).gate.may_publish


@pytest.mark.parametrize(("settled", "may_publish"), [("brake-line", True), ("fog-light-lens", False)])
def test_work_that_settles_a_defect_answers_the_check_that_names_it(settled: str, may_publish: bool):
    where = {"station": "underside", "part": "brake line"}
    line = {"id": "brake-line", "kind": "worn part", "where": where, "affects": "function", "words": "Rubbed."}
    condition = judged(
        checks={"brake_lines": {"finding": "attention", "note": "Rubbed.", "defect": "brake-line"}},
        defects=[*BASE_INSPECTION["defects"], line],
        work_done=[{"what": "Replace the brake line.", "on": "2026-10-05", "settles": [settled], "by": "replaced"}],
    )
    assert condition.gate.may_publish is may_publish


def test_a_drum_of_an_earlier_inspection_holds_the_page_until_it_is_renewed():
    then = {"brakes": {"left_rear": DRUM}}
    now: dict[str, Any] = {"brakes": {"left_rear": {**DRUM, "drum": ...}}}
    silent = looked_at_twice(then, now)
    assert [(hold.where, hold.said.key) for hold in silent.gate.holding] == [
        ("brakes.left_rear.drum", "gate.drum_beyond")
    ]
    work = [{"what": "Replace the drum.", "on": "2026-09-01", "renews": ["brakes.left_rear"]}]
    assert looked_at_twice(then, {**now, "work_done": work}).gate.may_publish


CHANGED: dict[str, tuple[dict[str, Any], dict[str, Any], str]] = {
    "traction_battery": ({"state_of_health": "93 %"}, {"state_of_health": "91 %"}, "since.traction_battery"),
    "battery": ({"tested": "600 CCA"}, {"tested": "540 CCA"}, "since.battery"),
    "brake_fluid": ({"moisture": "1 %"}, {"moisture": "3 %"}, "since.moisture"),
    "coolant": ({"freezes_at": "-40 °F"}, {"freezes_at": "-29 °F"}, "since.coolant"),
}


@pytest.mark.parametrize("group", CHANGED)
def test_each_figure_that_both_inspections_measured_is_compared(group: str):
    was, now, key = CHANGED[group]
    assert key in said(looked_at_twice({group: was}, {group: now}).of(SinceFinding)[0].changed)
    assert key not in said(looked_at_twice({group: was}, {group: was}).of(SinceFinding)[0].changed)


@pytest.mark.parametrize(("day", "is_followed"), [(THEN, False), ("2026-05-01", True)])
def test_tires_fitted_on_the_day_of_the_earlier_inspection_are_not_the_ones_it_measured(day: str, is_followed: bool):
    was, now = tires("8/32 in", "9/32 in"), tires("6/32 in", "7/32 in")
    work = [{"what": "Four tires.", "on": day, "renews": ["tires"]}]
    found = looked_at_twice({"tires": was}, {"tires": now, "work_done": work})
    assert ("outlook.wear.between_tire" in line_of_tires(found)[1]) is is_followed


CORNERS = [{"x": x, "y": y} for x, y in ((0.1, 0.1), (0.4, 0.1), (0.4, 0.3), (0.1, 0.3))]
ENDS = [{"x": 0.5, "y": 0.5}, {"x": 0.7, "y": 0.5}]


@pytest.mark.parametrize("alone", [{"card": CORNERS}, {"span": ENDS}])
def test_a_card_or_a_span_alone_measures_nothing_and_is_refused(alone: dict[str, Any]):
    (defect,) = BASE_INSPECTION["defects"]

    def with_photo(**keys: Any) -> Any:
        return a_vehicle(defects=[{**defect, "photos": [{"file": "a.jpg", "shows": "It.", **keys}]}])

    assert with_photo(card=CORNERS, span=ENDS).defects[0].photos[0].span is not None
    with pytest.raises(ValueError, match=f"for {next(iter(alone))} alone measures nothing"):
        with_photo(**alone)


def test_a_vehicle_whose_odometer_ran_backward_has_no_distance_between_its_inspections():
    assert looked_at_twice({}, {}, at="52,000 mi").of(SinceFinding)[0].driven is not None
    assert looked_at_twice({}, {}, at="70,000 mi").of(SinceFinding)[0].driven is None


def test_a_battery_that_only_the_later_inspection_tested_did_not_change():
    (found,) = looked_at_twice({"battery": {"tested": ...}}, {}).of(SinceFinding)
    assert "since.battery" not in said(found.changed)
    (found,) = looked_at_twice({"tires": {"left_front": {"tread": ...}}}, {}).of(SinceFinding)
    assert "since.tire" not in said(found.changed)
