"""The figures that stand in a sentence, and sentences that hang on one word of the record.

Lives, intervals and differences are common practice, as content/reference/ says.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from sitegen.condition.basis.checks import found_at
from sitegen.condition.basis.findings import BrakeFinding, FluidFinding, SetFinding, TireFinding
from sitegen.condition.basis.values import KnownBy, Said, Span, WholeSpan
from sitegen.condition.services.intervals import metres_left
from sitegen.condition.services.last_done import LastDone
from sitegen.records.quantities import Distance
from tests.builders import a_vehicle
from tests.condition.judged import EU, US, judged, said

WHEELS = ("left_front", "right_front", "left_rear", "right_rear")


def the(remarks: Any, key: str) -> Said:
    """Return the one remark of a key."""
    (found,) = [remark for remark in remarks if remark.key == key]
    return found


@pytest.mark.parametrize(
    ("battery", "key"),
    [
        ({"fitted_on": "2025-03"}, "by_age"),
        ({"fitted_on": ...}, "age_not_known"),
        ({"fitted_on": "2019"}, "past_life_good"),
        ({"fitted_on": "2019", "rated": ...}, "past_life"),
        ({"fitted_on": "2025-03", "tested": "480 CCA"}, "aging"),
    ],
)
def test_a_batterys_usual_life_is_three_to_five_years(battery, key):
    (basis,) = judged(battery=battery).line("battery").basis
    assert (basis.key, str(basis.figures)) == (f"outlook.battery.{key}", str({"low": 3, "high": 5}))


def test_the_days_left_of_a_battery():
    """36 to 60 months from March 2023, as of October 4, 2026: past the first, and to March 31, 2028 at the latest.

    540 of 640 CCA are 84 %, which is good.
    """
    assert judged().line("battery").facts.need.days == WholeSpan(0, (date(2028, 3, 31) - date(2026, 10, 4)).days)
    assert judged(battery={"fitted_on": "2026-10"}).line("battery").facts.need.days == WholeSpan(
        (date(2029, 10, 1) - date(2026, 10, 4)).days, (date(2031, 10, 4) - date(2026, 10, 4)).days
    )
    worn_out = judged(battery={"fitted_on": "2019"}).line("battery").facts.need.days
    assert worn_out == WholeSpan(0, (date(2031, 10, 4) - date(2026, 10, 4)).days)


def test_the_days_left_of_tires_by_their_age():
    """Six to ten years, by a code of June 12, 2023, which allows from June 5 to June 25."""
    days = judged().line("all_tires").facts.need.days
    assert days == WholeSpan(
        (date(2029, 6, 5) - date(2026, 10, 4)).days, (date(2033, 6, 25) - date(2026, 10, 4)).days
    )


def test_the_distance_of_a_part_is_shown_in_the_regions_unit():
    """Fitted at 40,000 and 30,000 of 64,000 mi; 24,000 mi are 38,624 km."""
    tires = the(judged().line("all_tires").basis, "outlook.wear.own_history_tire")
    brakes = the(judged().line("front_brakes").basis, "outlook.wear.own_history_lining")
    assert [told.figures["driven"].written for told in (tires, brakes)] == ["24,000 mi", "34,000 mi"]
    tires = the(judged(EU).line("all_tires").basis, "outlook.wear.own_history_tire")
    assert tires.figures["driven"].written == "38,624 km"


@pytest.mark.parametrize(
    ("found", "key"), [("good", "aligned"), ("attention", "ask_for_alignment"), ("not checked", "ask_for_alignment")]
)
def test_wear_on_one_side_suggests_alignment_unless_that_was_found_good(found, key):
    tire = {"tread": {"outer": "7/32 in", "center": "6/32 in", "inner": "4/32 in"}}
    condition = judged(tires={"left_front": tire}, checks={"wheel_alignment": found})
    told = said(condition.of(TireFinding)[0].remarks)
    assert told & {"tire.wear.aligned", "tire.wear.ask_for_alignment"} == {f"tire.wear.{key}"}


@pytest.mark.parametrize(("fitted", "how"), [("59,000 mi", "own_history"), ("59,001 mi", "typical_life")])
def test_wear_over_less_than_five_thousand_miles_is_not_projected(fitted, how):
    fitted_at = {wheel: {"fitted_at": fitted} for wheel in WHEELS}
    tires, brakes = judged(tires=fitted_at), judged(brakes=fitted_at)
    assert f"outlook.wear.{how}_tire" in said(tires.line("all_tires").basis)
    assert f"outlook.wear.{how}_lining" in said(brakes.line("front_brakes").basis)


@pytest.mark.parametrize(
    ("checked", "part", "found"),
    [
        ({}, "left mirror", "attention"),  # a defect tells that somebody looked, and what was found
        ({}, "left fender", "not checked"),
        ({"mirrors": "good"}, "left mirror", "good"),
        ({"mirrors": "attention"}, "left fender", "attention"),
        ({"mirrors": "not checked"}, "left mirror", "attention"),
    ],
)
def test_a_defect_speaks_for_a_point_that_nobody_checked(checked, part, found):
    defect = {"id": "it", "kind": "worn part", "where": {"station": "left side", "part": part}, "words": "Worn."}
    record = a_vehicle(checks=checked, defects=[{**defect, "affects": "function"}])
    assert found_at(record, "mirrors", US.vocabulary).value == found


@pytest.mark.parametrize(("grade", "key"), [("DOT 4", "grade"), ("DOT 5", "grade_silicone"), ("DOT 5.1", "grade")])
def test_only_silicone_fluid_is_called_silicone(grade, key):
    remarks = said(judged(brake_fluid={"grade": grade}).of(FluidFinding)[0].remarks)
    assert {told for told in remarks if "grade" in told} == {f"brake_fluid.{key}"}


def test_how_far_the_tires_of_an_all_wheel_drive_set_are_apart():
    """235/60R18 is 739.2 mm, new 10/32 in. At 7/32 it is 734.4375 mm, at 4/32 4.7625 mm or 0.65 % less."""
    depths = ("7", "4", "6", "5")
    tires = {
        wheel: {"tread": dict.fromkeys(("outer", "center", "inner"), f"{depth}/32 in")}
        for wheel, depth in zip(WHEELS, depths, strict=True)
    }
    told = the(judged(tires=tires).of(SetFinding)[0].remarks, "tires.matched_set_with_size").figures
    assert told["spread"].depth.millimetres == 3 * Fraction("0.79375")
    assert told["apart"].amount == Fraction("4.7625") / Fraction("734.4375")


@pytest.mark.parametrize(("lowest", "told"), [("5/32 in", False), ("4.9/32 in", True)])
def test_a_set_may_differ_by_two_thirty_seconds(lowest, told):
    tires = {"left_front": {"tread": {"inner": lowest}}}
    assert ("tires.matched_set_with_size" in said(judged(tires=tires).of(SetFinding)[0].remarks)) is told


@pytest.mark.parametrize("wheel", ["left_front", "right_front"])
def test_a_set_of_one_kind_and_size_is_not_called_mixed(wheel):
    def mixed(**tire: Any) -> set[str]:
        remarks = judged(vehicle={"drive": "fwd"}, tires={wheel: tire}).of(SetFinding)[0].remarks
        return {key for key in said(remarks) if "mixed" in key}

    assert mixed() == set()
    assert mixed(kind="winter") == {"tires.mixed_kinds_on_axle"}
    assert mixed(size="235/55R18 103H") == {"tires.mixed_sizes", "tires.mixed_sizes_on_axle"}
    assert mixed(size="225/60R18 103H 4x") == {"tires.mixed_sizes", "tires.mixed_sizes_on_axle"}


def test_the_oldest_and_the_newest_of_a_set_are_named_by_year():
    remarks = judged(tires={"left_front": {"date_code": "2419"}}).of(SetFinding)[0].remarks
    assert the(remarks, "tires.mixed_ages").figures == {"oldest": "2019", "newest": "2023"}


@pytest.mark.parametrize(("code", "key"), [("2423", "age"), (..., "age_not_known"), ("not visible", "age_not_known")])
def test_the_line_of_the_tires_says_whether_their_age_is_known(code, key):
    tires = {wheel: {"date_code": code} for wheel in WHEELS}
    basis = said(judged(tires=tires).line("all_tires").basis)
    assert basis & {"outlook.tires.age", "outlook.tires.age_not_known"} == {f"outlook.tires.{key}"}


@pytest.mark.parametrize(
    ("part", "line", "key"), [("tires", "all_tires", "outlook.tires"), ("brakes", "front_brakes", "outlook.brakes")]
)
def test_a_line_counts_the_wheels_that_were_not_measured(part, line, key):
    assert f"{key}.not_all_measured" not in said(judged().line(line).basis)
    missing: dict[str, Any] = {part: {"left_front": {"tread" if part == "tires" else "pads": ...}}}
    assert the(judged(**missing).line(line).basis, f"{key}.not_all_measured").figures == {"count": 1}
    renewed = [{"what": "Replaced.", "on": "2026-10-04", "renews": [f"{part}.left_front"]}]
    assert f"{key}.not_all_measured" not in said(judged(**missing, work_done=renewed).line(line).basis)


@pytest.mark.parametrize(("axle", "new"), [("front", (10, 12)), ("rear", (8, 11))])
def test_new_pads_are_taken_as_usual_on_their_axle(axle, new):
    found = judged(brakes={f"left_{axle}": {"new_pads": ...}}).of(BrakeFinding)
    (span,) = [brake.new for brake in found if brake.wheel.value == f"left_{axle}"]
    assert (span.low.millimetres, span.high.millimetres, span.known_by) == (*new, KnownBy.TYPICAL)


@pytest.mark.parametrize(("axle", "life"), [("front", (25_000, 65_000)), ("rear", (35_000, 75_000))])
def test_new_pads_usually_last_as_those_of_their_axle(axle, life):
    assert judged().line(f"{axle}_brakes").facts.again_distance == WholeSpan(*(100 * miles for miles in life))


# The odometer was read on October 4, 2026.
@pytest.mark.parametrize(
    ("done", "key"),
    [
        ({"on": "2026-10-05"}, "last_done_on_at"),
        ({"on": "2026-10-04"}, "last_done_on_at"),
        ({"on": "2026-10-03"}, "last_done_on"),
        ({"on": "2026-10-03", "at": "63,990 mi"}, "last_done_on_at"),
    ],
)
def test_work_since_the_last_reading_was_done_at_it(done, key):
    work = {"what": "New coolant.", "renews": ["services.coolant"], **done}
    assert judged(work_done=[work]).line("coolant").basis[0].key == f"outlook.service.{key}"


@pytest.mark.parametrize(
    ("record", "key"),
    [
        ({"done_on": "2025-06-01"}, "last_done_on"),
        ({"done_on": "2025-06"}, "last_done_in"),
        ({"done_on": "2025", "at": "60,000 mi"}, "last_done_in_at"),
        ({"at": "60,000 mi"}, "last_done_at"),
    ],
)
def test_a_day_is_said_as_a_day_and_a_month_as_a_month(record, key):
    found = judged(services=[{"service": "coolant", **record}], work_done=[])
    assert found.line("coolant").basis[0].key == f"outlook.service.{key}"


# Engine oil, every 5,000 to 10,000 mi, with 64,000 mi on the odometer.
@pytest.mark.parametrize(
    ("at", "left"), [(64_000, (5_000, 10_000)), (59_000, (0, 5_000)), (55_000, (0, 1_000)), (50_000, (0, 0))]
)
def test_the_miles_left_until_a_service_are_never_below_none(at, left):
    interval = US.intervals.services["engine_oil"][0]
    day = date(2026, 1, 1)
    last = LastDone(day, day, Span.at(Distance.of_miles(at).metres), recorded=True, said=Said("any"))
    found = metres_left(interval, last, a_vehicle())
    assert found == Span(*(Distance.of_miles(miles).metres for miles in left))


# An air filter is due from 15,000 mi on, whatever its age.
@pytest.mark.parametrize(
    ("miles", "key"),
    [("14,000 mi", "not_due_since_new"), ("14,999 mi", "not_due_since_new"), ("15,001 mi", "no_record")],
)
def test_a_service_never_done_is_not_due_before_its_first_interval(miles, key):
    young = judged(
        odometer={"reading": miles}, inspection={"at": miles}, earlier_readings=[], services=[], work_done=[]
    )
    assert young.line("engine_air_filter").basis[0].key == f"outlook.service.{key}"
