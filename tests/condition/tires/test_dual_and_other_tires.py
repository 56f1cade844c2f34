"""Dual rear wheels, light-truck sizes, staggered door labels, spares and mixed tires.

Loads by index: ISO 4000-1 (120 is 1,400 kg, 117 is 1,285 kg). Which index holds for a tire as one of two: ETRTO and
United States yearbooks (from memory).
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.condition.basis.findings import Condition, SetFinding, TireFinding
from sitegen.condition.judging import judge_gate
from sitegen.condition.tires.tire_sizes import parse_size
from sitegen.records.vehicle import ON_THE_GROUND, REAR_OF_SIX, Axle, Wheel
from tests.builders import a_vehicle
from tests.condition.judged import US, item, judged, said

INNER = REAR_OF_SIX[1:3]
LT = "LT235/80R17 120/117R E"


def a_tire(size: str = LT, tread: str = "9/32 in", **more: Any) -> dict[str, Any]:
    depths = dict.fromkeys(("outer", "center", "inner"), tread)
    return {"size": size, "kind": "all-season", "date_code": "2025", "tread": depths, **more}


def six(**changes: dict[str, Any]) -> dict[str, Any]:
    wheels = {wheel.value: a_tire() for wheel in (*ON_THE_GROUND, *INNER)}
    return {"placard_size": ..., **wheels, **changes}


def truck(**tires: Any) -> dict[str, Any]:
    return {"vehicle": {"body": "pickup", "drive": "rwd", "gross_weight_pounds": 14_000}, "tires": tires}


def of_the_set(condition: Condition) -> dict[str, Any]:
    return {remark.key: remark.figures for remark in condition.of(SetFinding)[0].remarks}


@pytest.mark.parametrize(
    ("written", "single", "dual", "speed", "load_range"),
    [
        ("LT235/80R17 120/117R E", 120, 117, "R", "E"),
        ("LT235/80R17/E 120/117R", 120, 117, "R", "E"),
        ("LT245/75R17 121/118S LRE", 121, 118, "S", "E"),
        ("LT245/75R17 121/118S LR E", 121, 118, "S", "E"),
        ("lt245/75r16 load range d", None, None, None, "D"),
        ("225/70R19.5 128/126N G", 128, 126, "N", "G"),
        ("31x10.50R15LT 109R C", 109, None, "R", "C"),
        ("235/65R17 104H", 104, None, "H", None),
        ("235/65R17 104H XL", 104, None, "H", None),
        ("T155/90D17 112M", 112, None, "M", None),
    ],
)
def test_a_size_says_its_load_alone_and_as_one_of_two_and_its_range(written, single, dual, speed, load_range):
    size = parse_size(written)
    assert size is not None
    assert (size.load_index, size.load_index_dual, size.speed_symbol, size.load_range) == (
        single,
        dual,
        speed,
        load_range,
    )
    assert size.is_temporary is written.startswith("T")


@given(
    st.integers(60, 130),
    st.integers(60, 130),
    st.sampled_from("NPQRSTH"),
    st.sampled_from(["", " C", " LRD", " LR E"]),
)
def test_every_pair_of_load_indices_is_read_back(single: int, dual: int, speed: str, load_range: str):
    size = parse_size(f"LT245/75R17 {single}/{dual}{speed}{load_range}")
    assert size is not None
    assert (size.load_index_as(dual=False), size.load_index_as(dual=True)) == (single, dual)
    assert size.speed_symbol == speed
    assert size.load_range == (load_range[-1:] or None)


@pytest.mark.parametrize("wheel", [*ON_THE_GROUND, *INNER])
def test_any_of_six_tires_below_the_figure_holds_the_page(wheel: Wheel):
    """Above 10,000 lb a front tire needs 4/32 in, a rear one 2/32 in: 49 CFR 570.62(a)."""
    is_front = wheel in ON_THE_GROUND[:2]
    enough, short = ("4/32 in", "3/32 in") if is_front else ("3/32 in", "1/32 in")

    def holding(tread: str) -> list[Any]:
        gate = judge_gate(a_vehicle(**truck(**six(**{wheel.value: a_tire(tread=tread)}))), US)
        return [hold.path[:2] for hold in gate.holding]

    assert holding(enough) == []
    assert holding(short) == [("tires", wheel.value)]


def test_six_tires_have_six_findings_and_four_rear_ones_are_replaced_together():
    condition = judged(**truck(**six()))
    assert [found.wheel for found in condition.of(TireFinding)] == [*ON_THE_GROUND[:2], *REAR_OF_SIX]
    assert condition.line("front_tires").count == 2
    assert condition.line("rear_tires").count == 4
    assert "outlook.tires.dual" in said(condition.line("rear_tires").basis)


def test_a_worn_inner_tire_decides_for_its_axle():
    worn = judged(**truck(**six(left_rear_inner=a_tire(tread="2/32 in"))))
    assert item(worn, "rear_tires") != item(judged(**truck(**six())), "rear_tires")
    assert item(worn, "front_tires") == item(judged(**truck(**six())), "front_tires")


def test_an_inner_tire_that_nobody_measured_is_said():
    tires = six()
    del tires["right_rear_inner"]
    for changes in (tires, {**tires, "left_rear_inner": ..., "dual_rear": True}):
        condition = judged(**truck(**{key: value for key, value in changes.items() if value is not ...}))
        unmeasured = {fact.place.wheel for fact in condition.standing if fact.said.key == "standing.tread_unmeasured"}
        assert Wheel.RIGHT_REAR_INNER in unmeasured


@pytest.mark.parametrize(("inner", "told"), [("9/32 in", False), ("6/32 in", False), ("5/32 in", True)])
def test_two_tires_of_a_side_may_differ_by_less_than_four_thirty_seconds(inner: str, told: bool):
    """A quarter inch in diameter is an eighth in radius, 4/32 in of tread: common practice."""
    condition = judged(**truck(**six(left_rear_inner=a_tire(tread=inner))))
    assert ("tires.duals_apart" in of_the_set(condition)) is told


@pytest.mark.parametrize(
    ("wheel", "size", "holds"),
    [
        ("left_rear_inner", "LT235/80R17 120/116R E", True),  # one of two carries less than the label asks for
        ("left_rear_inner", "LT235/80R17 119/117R E", False),  # alone it would not do, but it is one of two
        ("left_front", "LT235/80R17 119/117R E", True),
        ("left_front", "LT235/80R17 120/116R E", False),
    ],
)
def test_a_load_is_compared_alone_in_front_and_as_one_of_two_at_the_rear(wheel: str, size: str, holds: bool):
    gate = judge_gate(a_vehicle(**truck(**{**six(**{wheel: a_tire(size)}), "placard_size": LT})), US)
    assert bool(gate.holding) is holds


@pytest.mark.parametrize(("weight", "asks"), [(17_500, False), (17_600, True)])
def test_six_tires_together_carry_less_as_pairs(weight: int, asks: bool):
    """2 x 1,400 kg and 4 x 1,285 kg are 7,940 kg, 17,504 lb."""
    record = a_vehicle(**{**truck(**six()), "vehicle": {"body": "pickup", "gross_weight_pounds": weight}})
    assert bool(judge_gate(record, US).holding) is asks


def test_a_load_as_one_of_two_that_is_not_noted_is_said():
    condition = judged(**truck(**six(left_rear=a_tire("LT235/80R17 120R E"))))
    rear = next(found for found in condition.of(TireFinding) if found.wheel is Wheel.LEFT_REAR)
    assert {"tire.load_not_as_one_of_two", "tire.load_range"} <= said(rear.remarks)


def test_load_alone_and_as_one_of_two_is_said_in_pounds():
    (found, *_) = judged(**truck(**six())).of(TireFinding)
    (told,) = (remark.figures for remark in found.remarks if remark.key == "tire.load_and_speed_dual")
    assert (told["pounds"], told["pounds_of_two"], told["miles_an_hour"]) == (3086, 2833, 106)


STAGGERED = {"placard_size": "235/60R18 103H", "placard_size_rear": "255/55R18 105H"}


def test_sizes_that_the_door_label_asks_for_are_not_called_mixed():
    rear = {key: {"size": "255/55R18 105H"} for key in ("left_rear", "right_rear")}
    condition = judged(tires={**STAGGERED, **rear})
    assert not {key for key in of_the_set(condition) if "mixed_sizes" in key}
    assert "tires.placard_size_by_axle" in of_the_set(condition)
    assert not {key for found in condition.of(TireFinding) for key in said(found.remarks) if "placard_size" in key}


def test_a_rear_tire_is_judged_by_the_rear_size_of_the_label():
    record = a_vehicle(
        tires={**STAGGERED, "left_rear": {"size": "255/55R18 104H"}, "right_rear": {"size": "255/55R18 105H"}}
    )
    assert [hold.path for hold in judge_gate(record, US).holding] == [("tires", "left_rear", "size")]


@pytest.mark.parametrize(("pressure", "key"), [("27 psi", "tire.pressure"), ("26 psi", "tire.pressure_low")])
def test_a_pressure_a_quarter_below_the_label_asks_for_air(pressure: str, key: str):
    """49 CFR 571.138 S4.2, from memory: the warning comes on at 25 % below; 0.75 x 35 psi is 26.25 psi."""
    condition = judged(tires={"placard_pressure": "35 psi", "left_front": {"pressure": pressure}})
    (found, *_) = condition.of(TireFinding)
    assert key in said(found.remarks)


def test_a_rear_pressure_of_its_own_counts_for_the_rear():
    tires = {wheel.value: {"pressure": "36 psi"} for wheel in ON_THE_GROUND}
    condition = judged(tires={**tires, "placard_pressure": "36 psi", "placard_pressure_rear": "80 psi"})
    soft = {found.wheel for found in condition.of(TireFinding) if "tire.pressure_low" in said(found.remarks)}
    assert soft == {Wheel.LEFT_REAR, Wheel.RIGHT_REAR}
    assert "tires.placard_pressure_by_axle" in of_the_set(condition)


@pytest.mark.parametrize(
    ("spare", "told"),
    [
        ({"size": "T155/90D17 112M"}, {"tire.temporary_spare", "tire.load_of_spare"}),
        ({"kind": "temporary spare"}, {"tire.temporary_spare"}),
        ({"kind": "inflatable spare", "size": "185/80D14 98M"}, {"tire.inflatable_spare", "tire.load_of_spare"}),
        ({"size": "235/60R18 103H"}, {"tire.load_and_speed"}),
    ],
)
def test_a_spare_has_its_own_caution_and_load(spare: dict[str, Any], told: set[str]):
    found = judged(tires={"spare": spare}).of(TireFinding)[-1]
    assert {key for key in said(found.remarks) if "spare" in key or "load" in key} == told


@pytest.mark.parametrize("kind", ["temporary spare", "inflatable spare"])
@pytest.mark.parametrize("wheel", ON_THE_GROUND)
def test_a_temporary_spare_on_the_road_holds_the_page(kind: str, wheel: Wheel):
    assert judge_gate(a_vehicle(tires={wheel.value: {"kind": kind}}), US).holding


def test_two_kinds_on_an_axle_are_named_left_and_right():
    told = of_the_set(judged(tires={"right_front": {"kind": "winter"}}))["tires.mixed_kinds_on_axle"]
    assert (told["left"].key, told["right"].key) == ("tire_kind.all-season", "tire_kind.winter")
    assert "tires.mixed_sizes_on_axle" not in of_the_set(judged(tires={"right_front": {"kind": "winter"}}))


@pytest.mark.parametrize(
    ("body", "weight", "told"),
    [("pickup", None, True), ("cargo van", None, True), ("pickup", 7_000, False), ("sedan", None, False)],
)
def test_a_truck_without_a_weight_rating_says_which_limit_is_assumed(body: str, weight: int | None, told: bool):
    condition = judged(vehicle={"body": body, "gross_weight_pounds": ... if weight is None else weight})
    assert ("tires.assumed_weight" in of_the_set(condition)) is told


def test_the_axles_of_a_vehicle_hold_every_wheel_but_the_spare_once():
    for tires in ({}, six()):
        fitted = a_vehicle(tires=tires).tires
        assert len(set(fitted.on_the_ground)) == len(fitted.on_the_ground) == (6 if tires else 4)
        assert {axle for axle, wheels in fitted.axles.items() if wheels} == set(Axle)
