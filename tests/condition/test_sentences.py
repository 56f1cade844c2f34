"""The sentence on each side of a boundary. The cases are one step of a gauge apart."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.condition.basis.findings import (
    BatteryFinding,
    BrakeFinding,
    FluidFinding,
    PaintFinding,
    SetFinding,
    TireFinding,
    UseFinding,
)
from sitegen.condition.basis.values import WholeSpan
from tests.condition.judged import judged, said

WHEELS = ("left_front", "right_front", "left_rear", "right_rear")


def tread(depth: str) -> dict[str, Any]:
    return {"tread": dict.fromkeys(("outer", "center", "inner"), depth)}


def of_tire(**tire: Any) -> set[str]:
    return said(judged(tires={"left_front": tire}).of(TireFinding)[0].remarks)


def of_set(**tires: Any) -> set[str]:
    return said(judged(vehicle={"drive": "fwd"}, tires=tires).of(SetFinding)[0].remarks)


def of_brake(**brake: Any) -> set[str]:
    return said(judged(brakes={"left_front": brake}).of(BrakeFinding)[0].remarks)


DEPTHS = {"tire.below_limit", "tire.at_limit", "tire.plan", "tire.above_limit"}


@pytest.mark.parametrize(
    ("depth", "key"),
    [
        ("1.9/32 in", "tire.below_limit"),
        ("2/32 in", "tire.at_limit"),
        ("2.1/32 in", "tire.plan"),
        ("4/32 in", "tire.plan"),
        ("4.1/32 in", "tire.above_limit"),
    ],
)
def test_exactly_one_sentence_states_the_depth_of_a_tire(depth, key):
    assert of_tire(**tread(depth)) & DEPTHS == {key}


@pytest.mark.parametrize(
    ("depth", "new", "key"),
    [
        ("10/32 in", "10/32 in", "tire.usable"),
        ("10.1/32 in", "10/32 in", "tire.more_than_new"),
        ("7/32 in", ..., "tire.usable_typical"),
        ("1/32 in", "10/32 in", None),
    ],
)
def test_exactly_one_sentence_states_the_usable_tread(depth, new, key):
    shares = {"tire.usable", "tire.more_than_new", "tire.usable_typical"}
    assert of_tire(**tread(depth), new_tread=new) & shares == ({key} if key else set())


@pytest.mark.parametrize(
    ("size", "kind", "told"),
    [
        ("235/60R18 103H", "all-season", set()),  # as much as the label asks for is not below it
        ("235/60R18 104V", "all-season", set()),
        ("235/60R18 102H", "all-season", {"tire.load_below_placard"}),
        ("235/60R18 103T", "all-season", {"tire.speed_below_placard"}),
        ("235/60R18 103T", "winter", set()),
        ("235/55R18 103H", "all-season", {"tire.not_placard_size"}),
        ("round", "all-season", set()),
    ],
)
def test_a_size_against_the_door_label(size, kind, told):
    about = {key for key in of_tire(size=size, kind=kind) if "placard" in key}
    assert about == told


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("4121", set()),  # from October 11, 2021: four full years on October 4, 2026
        ("4021", {"tire.age_check"}),  # from October 4, 2021: five
        ("4120", {"tire.age_check"}),
        ("4020", {"tire.age_some_replace"}),  # from September 28, 2020: six
        ("4116", {"tire.age_some_replace"}),
        ("4016", {"tire.age_over"}),  # from October 3, 2016: ten
    ],
)
def test_at_most_one_sentence_states_the_advice_for_a_tires_age(code, told):
    assert of_tire(date_code=code) & {"tire.age_check", "tire.age_some_replace", "tire.age_over"} == told


@pytest.mark.parametrize(
    ("drive", "line", "together"),
    [("awd", "all_tires", "set"), ("fwd", "front_tires", "pair"), ("rwd", "rear_tires", "pair")],
)
def test_a_pair_is_called_a_pair_and_a_set_a_set(drive, line, together):
    found = judged(vehicle={"drive": drive}).line(line)
    told = said(found.basis)
    assert told & {"outlook.tires.set", "outlook.tires.pair"} == {f"outlook.tires.{together}"}
    assert found.facts.again_months == WholeSpan(6 * 12, 10 * 12)


@pytest.mark.parametrize(("depth", "told"), [("5.1/32 in", False), ("5/32 in", True)])
def test_left_and_right_differ_from_two_thirty_seconds_on(depth, told):
    tires = {"left_front": tread(depth), "right_front": tread("7/32 in")}
    assert ("tires.side_to_side" in of_set(**tires)) is told


@pytest.mark.parametrize(
    ("front", "rear", "lower"), [("5/32 in", "7/32 in", "front"), ("7/32 in", "5/32 in", "rear"), ("6", "7", None)]
)
def test_the_axle_with_less_tread_is_named(front, rear, lower):
    depths = [depth if "in" in depth else f"{depth}/32 in" for depth in (front, front, rear, rear)]
    tires = {wheel: tread(depth) for wheel, depth in zip(WHEELS, depths, strict=True)}
    remarks = judged(vehicle={"drive": "fwd"}, tires=tires).of(SetFinding)[0].remarks
    told = [remark.figures["axle"].key for remark in remarks if remark.key == "tires.front_to_rear"]
    assert told == ([f"axle.{lower}"] if lower else [])
    assert "tires.side_to_side" not in said(remarks)


# The others are of June 12, 2023: to June 10, 2024 are 364 days, to June 17 are 371.
@pytest.mark.parametrize(("code", "told"), [("2423", False), ("2424", False), ("2524", True)])
def test_ages_of_a_set_differ_by_more_than_a_year(code, told):
    assert ("tires.mixed_ages" in of_set(left_front={"date_code": code})) is told


LININGS = {"brake.pad.below_limit", "brake.pad.replace", "brake.pad.above"}


@pytest.mark.parametrize(
    ("pad", "key"),
    [
        ("0.7 mm", "brake.pad.below_limit"),  # 1/32 in is 0.79375 mm
        ("0.8 mm", "brake.pad.replace"),
        ("3 mm", "brake.pad.replace"),
        ("3.1 mm", "brake.pad.above"),
    ],
)
def test_exactly_one_sentence_states_the_thickness_of_a_pad(pad, key):
    assert of_brake(pads={"inner": pad, "outer": pad}) & LININGS == {key}


@pytest.mark.parametrize(
    ("pad", "new", "key"),
    [
        ("11 mm", "11 mm", "brake.usable"),
        ("11.1 mm", "11 mm", "brake.more_than_new"),
        ("7 mm", ..., "brake.usable_typical"),
        ("0.7 mm", "11 mm", None),
    ],
)
def test_exactly_one_sentence_states_the_usable_lining(pad, new, key):
    shares = {"brake.usable", "brake.more_than_new", "brake.usable_typical"}
    assert of_brake(pads={"inner": pad, "outer": pad}, new_pads=new) & shares == ({key} if key else set())


@pytest.mark.parametrize(
    ("rotor", "key"),
    [
        ("26.1 mm", "brake.rotor.above_discard"),
        ("26.0 mm", "brake.rotor.at_discard"),
        ("25.9 mm", "brake.rotor.beyond_discard"),
        (..., "brake.rotor.not_measured"),
    ],
)
def test_exactly_one_sentence_states_the_rotor(rotor, key):
    assert {told for told in of_brake(rotor=rotor) if told.startswith("brake.rotor")} == {key}


@pytest.mark.parametrize(("pad", "told"), [("5 mm", True), ("5.1 mm", False)])
def test_brakes_differ_from_two_millimetres_on(pad, told):
    pads = {"pads": {"inner": pad, "outer": pad}}
    assert ("brake.uneven" in of_brake(pads={"inner": pad, "outer": "7 mm"})) is told
    sides = said(judged(brakes={"left_front": pads}).of(SetFinding)[1].remarks)
    assert ("brakes.side_to_side" in sides) is told


@pytest.mark.parametrize(
    ("battery", "told"),
    [
        ({"tested": "480 CCA", "rated": "600 CCA"}, "battery.good"),
        ({"tested": "479 CCA", "rated": "600 CCA"}, "battery.aging"),
        ({"rated": ...}, "battery.no_rating"),
        ({"tested": ...}, "battery.not_tested"),
    ],
)
def test_exactly_one_sentence_states_the_battery_test(battery, told):
    tests = {"battery.good", "battery.aging", "battery.replace", "battery.no_rating", "battery.not_tested"}
    assert said(judged(battery=battery).of(BatteryFinding)[0].remarks) & tests == {told}


@pytest.mark.parametrize(
    ("fitted", "told"),
    [("2025-10-04", "battery.age"), ("2025-10-05", "battery.age_under_one"), (..., "battery.age_not_known")],
)
def test_a_battery_is_a_year_old_on_the_day(fitted, told):
    remarks = said(judged(battery={"fitted_on": fitted}).of(BatteryFinding)[0].remarks)
    assert {key for key in remarks if key.startswith("battery.age")} == {told}


@pytest.mark.parametrize(
    ("moisture", "replace", "plan"),
    [("1.9 %", False, False), ("2 %", False, True), ("2.9 %", False, True), ("3 %", True, False)],
)
def test_moisture_gives_exactly_one_advice(moisture, replace, plan):
    found = judged(brake_fluid={"moisture": moisture}).of(FluidFinding)[0]
    assert (found.replace, found.plan) == (replace, plan)


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        (["89 µm"], {"paint.thin"}),
        (["90 µm"], {"paint.usual"}),
        (["199 µm"], {"paint.usual"}),
        (["200 µm"], {"paint.added"}),
        (["999 µm"], {"paint.added"}),
        (["1000 µm"], {"paint.filler"}),
    ],
)
def test_exactly_one_sentence_states_the_paint_of_a_panel(readings, told):
    found = judged(paint=[{"panel": "hood", "readings": readings}]).of(PaintFinding)[0]
    assert said(found.remarks) == told


@pytest.mark.parametrize(
    ("miles", "told"),
    [
        ("109,000 mi", "use.less_than_average"),  # 12,449 a year over 3,198 days, so about 12 thousand against 13
        ("110,000 mi", "use.about_average"),  # 12,563
        ("118,000 mi", "use.about_average"),  # 13,477
        ("118,300 mi", "use.more_than_average"),  # 13,511
    ],
)
def test_use_is_compared_to_the_nearest_thousand(miles, told):
    found = judged(odometer={"reading": miles}, inspection={"at": miles}).of(UseFinding)[0]
    assert {key for key in said(found.remarks) if key.endswith("average")} == {told}
