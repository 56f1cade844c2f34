"""Two looks at one vehicle: what changed, what wear between them tells, and what nobody looked at again.

Worked by hand from the bounds of each reading (JCGM 100:2008, 4.3.7), added whole. Units: 32nds of an inch, miles.
"""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.condition.basis.findings import Condition, SinceFinding
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.judging import judge
from sitegen.records.quantities import Distance
from tests.builders import a_vehicle, looked_at_again, visited
from tests.condition.judged import AVERAGE, US, miles_left, said

WHEELS = ("left_front", "right_front", "left_rear", "right_rear")


def tires(depth_of_lowest: str, others: str, **of_each: Any) -> dict[str, Any]:
    """All four tires, the left front the lowest, with nothing known of when they were fitted."""
    depths = {wheel: depth_of_lowest if wheel == "left_front" else others for wheel in WHEELS}
    return {
        wheel: {"tread": {"inner": depth, "center": ..., "outer": ...}, "fitted_at": ..., "fitted_on": ...} | of_each
        for wheel, depth in depths.items()
    }


def looked_at_twice(then: dict[str, Any], now: dict[str, Any], at: str = "52,000 mi") -> Condition:
    """The base vehicle at 64,000 mi, and once before at `at` on May 2, 2026."""
    day = {"inspection": {"done_on": "2026-05-02", "at": at}, "odometer": {"reading": at, "read_on": "2026-05-02"}}
    before = a_vehicle(**{"services": [], "work_done": [], **day, **then})
    return judge(looked_at_again(before, a_vehicle(**now)), US, None, Distance.of_miles(AVERAGE))


def line_of_tires(condition: Condition) -> tuple[WholeSpan | None, set[str]]:
    line = condition.line("all_tires")
    return miles_left(line), said(line.basis)


def test_wear_between_two_inspections_replaces_usual_life():
    """8/32 then, 6/32 now, 12,000 mi between, to 2/32, each off by 0.5: (6 - 0.5 - 2) x 12,000 / (2 + 1) = 14,000 to
    (6 + 0.5 - 2) x 12,000 / (2 - 1) = 54,000 mi."""
    was, now = tires("8/32 in", "9/32 in"), tires("6/32 in", "7/32 in")
    span, basis = line_of_tires(looked_at_twice({"tires": was}, {"tires": now}))
    assert span == WholeSpan(14_000, 54_000)
    assert "outlook.wear.between_tire" in basis


@pytest.mark.parametrize(
    ("was", "now", "at"),
    [
        (tires("8/32 in", "9/32 in"), tires("6/32 in", "7/32 in"), "59,500 mi"),  # too little driven between
        (tires("7/32 in", "8/32 in"), tires("6/32 in", "7/32 in"), "52,000 mi"),  # no more than both may be off
        (tires("8/32 in", "9/32 in", date_code="1119"), tires("6/32 in", "7/32 in"), "52,000 mi"),
        (tires("8/32 in", "9/32 in", date_code="not visible"), tires("6/32 in", "7/32 in"), "52,000 mi"),
        (tires("8/32 in", "9/32 in", size="225/60R18"), tires("6/32 in", "7/32 in", size="235/60R18"), "52,000 mi"),
    ],
    ids=["too little driven", "within the error", "another tire", "code not seen", "another size"],
)
def test_wear_between_inspections_is_not_used_for_small_wear_or_other_tires(was, now, at):
    alone = looked_at_twice({"tires": dict.fromkeys(WHEELS, ...)}, {"tires": now}, at)
    both = looked_at_twice({"tires": was}, {"tires": now}, at)
    assert line_of_tires(both)[0] == line_of_tires(alone)[0]
    assert "outlook.wear.between_tire" not in line_of_tires(both)[1]


def test_rotated_or_renewed_tires_are_not_compared():
    was, now = tires("8/32 in", "9/32 in"), tires("6/32 in", "7/32 in")
    rotated = {"services": [{"service": "tire_rotation", "done_on": "2026-07-01", "at": "57,000 mi"}]}
    fitted = {"work_done": [{"what": "Four tires.", "on": "2026-07-01", "at": "57,000 mi", "renews": ["tires"]}]}
    for since in (rotated, fitted):
        found = looked_at_twice({"tires": was}, {"tires": now, **since})
        assert "outlook.wear.between_tire" not in line_of_tires(found)[1]


def test_own_wear_since_new_stays_where_its_range_is_narrower():
    """Fitted at 40,000 mi with 10/32: 18,667 to 30,857 mi is narrower than 14,000 to 54,000."""
    was, now = tires("8/32 in", "9/32 in"), tires("6/32 in", "7/32 in", fitted_at="40,000 mi", new_tread="10/32 in")
    span, basis = line_of_tires(looked_at_twice({"tires": was}, {"tires": now}))
    assert span == WholeSpan(18_000, 31_000)
    assert "outlook.wear.own_history_tire" in basis


def test_wear_of_pads_between_inspections_is_used_until_new_ones_are_fitted():
    """10 mm, then 7, 12,000 mi, to 3, each off by 0.5: 3.5 x 12,000 / 4 = 10,500 to 4.5 x 12,000 / 2 = 27,000 mi."""
    plain = {"fitted_at": ..., "fitted_on": ...}
    sides = ("left_front", "right_front")
    was = {side: {"pads": {"inner": "10 mm", "outer": "10 mm"}, **plain} for side in sides}
    now = {side: {"pads": {"inner": "7 mm", "outer": "7 mm"}, **plain} for side in sides}
    line = looked_at_twice({"brakes": was}, {"brakes": now}).line("front_brakes")
    assert miles_left(line) == WholeSpan(10_000, 27_000)
    assert "outlook.wear.between_lining" in said(line.basis)
    work = [{"what": "Pads.", "on": "2026-08-01", "renews": ["brakes.left_front", "brakes.right_front"]}]
    renewed = looked_at_twice({"brakes": was}, {"brakes": now, "work_done": work}).line("front_brakes")
    assert "outlook.wear.between_lining" not in said(renewed.basis)


def test_changes_are_listed_and_equal_figures_are_counted():
    then = {
        "checks": {"headlights": "attention", "horn": "good"},
        "battery": {"tested": "560 CCA"},
        "brake_fluid": ...,
        "tires": {"left_front": {"tread": {"inner": "8/32 in"}}},
    }
    now = {
        "checks": {"headlights": "good", "horn": "attention"},
        "tires": {"left_front": {"tread": {"inner": "6/32 in"}}},
    }
    (found,) = looked_at_twice(then, now).of(SinceFinding)
    assert found.driven is not None
    assert found.driven.written == "12,000 mi"
    assert said(found.changed) >= {"since.good_now", "since.needs_attention", "since.battery"}
    assert "since.lining" not in said(found.changed), "the linings read the same"
    assert found.same >= 4


def test_a_safety_finding_not_mentioned_again_holds_the_page_until_it_is_answered():
    (defect,) = a_vehicle().model_dump(mode="json")["defects"]
    rust = {**defect, "id": "sill-rust", "affects": "safety", "words": "Through the sill."}
    then = {"defects": [defect, rust], "checks": {"brake_lines": "attention", "headlights": "attention"}}
    silent = looked_at_twice(then, {"checks": {"headlights": "good"}})
    assert {hold.where for hold in silent.gate.holding} == {"defects.1.affects", "checks.brake_lines"}
    work = [{"what": "Replace both.", "on": "2026-09-01", "settles": ["sill-rust"], "renews": ["checks.brake_lines"]}]
    answered = looked_at_twice(then, {"checks": {"headlights": "good"}, "work_done": work})
    assert answered.gate.may_publish
    assert "since.put_right" in said(answered.of(SinceFinding)[0].changed)


def test_a_figure_below_the_limit_that_is_not_measured_again_holds_the_page_until_it_is_answered():
    """49 CFR 570.9(a): 2/32 in; 570.5: 1/32 in of lining. Silence measures nothing."""
    then = {
        "tires": {"left_front": {"tread": {"inner": "1/32 in"}}},
        "brakes": {"right_rear": {"pads": {"inner": "0.5 mm"}}, "left_rear": {"rotor": "9.9 mm"}},
    }
    now: dict[str, Any] = {
        "tires": {"left_front": ..., "right_front": ...},
        "brakes": {"right_rear": ..., "left_rear": {"rotor": ...}},
        "battery": ...,
    }
    silent = looked_at_twice(then, now)
    held = {"tires.left_front.tread.inner", "brakes.right_rear.pads.inner", "brakes.left_rear.rotor"}
    assert {hold.where for hold in silent.gate.holding} == held

    parts = ["tires.left_front", "brakes.right_rear", "brakes.left_rear"]
    promised = looked_at_twice(
        then, {**now, "before_delivery": [{"what": "Fit new ones.", "renews": parts, "by": "replaced"}]}
    )
    assert promised.gate.may_publish
    assert {"gate.tire_below", "gate.lining_below", "gate.rotor_beyond"} <= said(promised.gate.first_words)
    washed = looked_at_twice(then, {**now, "work_done": [{"what": "Washed.", "on": "2026-09-01", "renews": parts}]})
    assert not washed.gate.may_publish, "washing renews nothing"
    work = [{"what": "Replace them.", "on": "2026-09-01", "renews": parts}]
    assert looked_at_twice(then, {**now, "work_done": work}).gate.may_publish
    first = a_vehicle(**then)
    wrong = ["tires.left_front.tread.inner", "brakes.right_rear.pads.inner", "brakes.left_rear.rotor"]
    taken_back = visited(first, {"on": "2026-10-20", "withdraw": wrong})
    assert judge(taken_back, US, None, Distance.of_miles(AVERAGE)).gate.may_publish


def test_a_visit_that_measures_one_wheel_leaves_every_other_figure_with_its_own_day():
    first = a_vehicle()
    again = visited(
        first,
        {
            "on": "2026-11-02",
            "at": "65,000 mi",
            "by": "Somebody",
            "tires": {"left_front": {"tread": {"inner": "3/32 in"}}},
        },
    )
    assert again.look_at("tires.left_front.tread.inner").on.isoformat() == "2026-11-02"
    assert again.look_at("tires.right_front.tread").on == first.inspection.done_on
    assert (again.brakes, again.checks, again.battery) == (first.brakes, first.checks, first.battery)
    (found,) = judge(again, US, None, Distance.of_miles(AVERAGE)).of(SinceFinding)
    assert (said(found.changed), found.same) == ({"since.tire"}, 0), "only what was measured again is compared"


def test_wear_is_counted_between_the_odometers_of_the_two_readings():
    """A look in between that measured nothing of the tire is no reading of it."""
    was, now = tires("8/32 in", "9/32 in"), tires("6/32 in", "7/32 in")
    day = {"inspection": {"done_on": "2026-05-02", "at": "52,000 mi"}}
    odometer = {"odometer": {"reading": "52,000 mi", "read_on": "2026-05-02"}}
    first = a_vehicle(services=[], work_done=[], tires=was, **day, **odometer)
    between = {"on": "2026-08-01", "at": "58,000 mi", "checks": {"horn": "good"}}
    depths = {wheel: {"tread": {"inner": tire["tread"]["inner"]}} for wheel, tire in now.items()}
    last = {"on": "2026-10-04", "at": "64,000 mi", "tires": depths}
    for visits in ((last,), (between, last)):
        condition = judge(visited(first, *visits), US, None, Distance.of_miles(AVERAGE))
        assert line_of_tires(condition)[0] == WholeSpan(14_000, 54_000)


@pytest.mark.parametrize(("day", "may_publish"), [("2026-09-01", False), ("2026-10-04", True)])
def test_work_that_was_done_before_does_not_answer_a_check_that_finds_the_same_again(day: str, may_publish: bool):
    """Found in May, mended in September, found again on October 4: only what is done since then is an answer."""
    found = {"checks": {"brake_lines": "attention", "headlights": "good"}}
    work = [{"what": "One line.", "on": day, "renews": ["checks.brake_lines"]}]
    again = looked_at_twice(found, {**found, "work_done": work})
    assert again.gate.may_publish is may_publish
    silent = looked_at_twice(found, {"checks": {"headlights": "good"}, "work_done": work})
    assert silent.gate.may_publish, "nobody found it again, and the work came after the day that found it"
    once = judge(a_vehicle(**found, work_done=work), US, None, Distance.of_miles(AVERAGE))
    assert once.gate.may_publish


def test_a_vehicle_with_one_inspection_has_no_section_about_changes():
    assert not judge(a_vehicle(), US, None, Distance.of_miles(AVERAGE)).of(SinceFinding)
