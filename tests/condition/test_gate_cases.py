"""Single cases of what holds a page, what it says first, and what a page says about an earlier inspection.

Each is a fact that a buyer would miss if its one branch were deleted. Limits: 49 CFR 570; the other figures are in
`content/reference`.
"""

from __future__ import annotations

from enum import Enum
from typing import Any

import pytest

from sitegen.condition.basis.facts import FactKind, Harm, StandingFact
from sitegen.condition.basis.findings import Condition, SinceFinding
from sitegen.condition.since.same_part import is_same_lining
from sitegen.condition.standing.texts import free_texts
from sitegen.records.disclosure import Affects
from sitegen.records.vehicle import Status, Wheel
from tests.builders import BASE_INSPECTION, a_vehicle, merged
from tests.condition.judged import US, judged, said
from tests.condition.test_since import WHEELS, looked_at_twice

POINTS = US.vocabulary.check_points
SAFETY_POINTS = [key for key, point in POINTS.items() if point.usually is Affects.SAFETY]
NOTE_DECIDES = [key for key, point in POINTS.items() if point.note_decides]
EXPECTED = {key: expected.year for key, expected in US.standing.expected.items() if 1996 < expected.year < 2018}


def held(condition: Condition) -> list[tuple[str, str]]:
    return [(hold.where, hold.said.key) for hold in condition.gate.holding]


def facts_at(condition: Condition, *path: str) -> list[StandingFact]:
    return [fact for fact in condition.standing if fact.path[: len(path)] == path]


# Checks of the walk.


@pytest.mark.parametrize("point", sorted({*SAFETY_POINTS} - {"headlights"}))
def test_a_safety_point_that_nobody_checked_is_told_and_one_that_is_good_is_not(point: str):
    electric: dict[str, Any] = {"vehicle": {"fuel": "electric"}} if point == "high_voltage_cables" else {}
    (fact,) = facts_at(judged(checks={point: "not checked"}, **electric), "checks", point)
    assert (fact.kind, fact.harm, fact.said.key) == (FactKind.NOT_LOOKED_AT, Harm.UNKNOWN, "standing.not_checked")
    assert facts_at(judged(checks={point: "good"}, **electric), "checks", point) == []


def test_a_point_that_nobody_checked_is_told_only_if_it_concerns_safety_or_is_important():
    told = {fact.path[1] for fact in judged(checks=...).standing if fact.kind is FactKind.NOT_LOOKED_AT}
    points = {name for name in told if name in POINTS}
    assert points
    assert all(POINTS[name].important or POINTS[name].usually is Affects.SAFETY for name in points)


@pytest.mark.parametrize("point", NOTE_DECIDES)
def test_where_the_note_decides_a_plain_note_holds_nothing_but_no_note_or_a_claim_of_safety_does(point: str):
    """Wipers that smear, an exhaust that rattles: the inspector's words tell how bad it is."""
    plain = {"finding": "attention", "note": "A little noisy."}
    assert judged(checks={point: plain}).gate.may_publish
    for harmful in ("attention", {**plain, "affects": "safety"}):
        assert held(judged(checks={point: harmful})) == [(f"checks.{point}", "gate.check")], harmful
    assert not judged(checks={point: {**plain, "note": "The steering is loose."}}).gate.may_publish


@pytest.mark.parametrize("point", EXPECTED)
def test_equipment_that_every_vehicle_of_its_year_has_holds_the_page_if_it_is_missing(point: str):
    """No vehicle older than the rule is asked for it; nor is one whose record says why."""
    missing = {"finding": "not fitted"}
    assert held(judged(checks={point: missing})) == [(f"checks.{point}", "gate.missing")]
    (fact,) = facts_at(judged(checks={point: missing}), "checks", point)
    assert (fact.kind, fact.short.key) == (FactKind.MISSING, "standing.missing")
    older: dict[str, Any] = {"vehicle": {"year": EXPECTED[point] - 1}}
    assert facts_at(judged(checks={point: missing}, **older), "checks", point) == []
    assert judged(checks={point: {**missing, "because": "It was never made with one."}}).gate.may_publish


def test_a_finding_is_named_by_its_point_and_what_strands_is_told_from_what_does_not():
    """Without a note the point decides, with one its words do."""
    harms = {
        ("charging", None): Harm.CAN_STRAND,
        ("charging", "The belt squeaks a little."): Harm.WORKS_LESS_WELL,
        ("air_conditioning", None): Harm.WORKS_LESS_WELL,
        ("air_conditioning", "The engine will not start."): Harm.CAN_STRAND,
    }
    for (point, note), harm in harms.items():
        check = {"finding": "attention", **({"note": note} if note else {})}
        (fact,) = facts_at(judged(checks={point: check}), "checks", point)
        assert (fact.harm, fact.short.key) == (harm, "standing.check"), (point, note)


def test_a_finding_that_affects_looks_alone_is_told_as_that():
    check = {"finding": "attention", "note": "Faded.", "affects": "looks"}
    (fact,) = facts_at(judged(checks={"air_conditioning": check}), "checks", "air_conditioning")
    assert fact.harm is Harm.LOOKS


# What the page says first.


def test_a_recall_that_says_not_to_drive_is_said_once_and_before_all_else():
    """49 USC 30118: a recall concerns safety. Some notices say to park the vehicle until it is mended."""
    what = "The airbag may burst. Do not drive the vehicle until it is repaired."
    open_recalls = {"checked_on": "2026-10-01", "open": [{"what": what}]}
    thin: dict[str, Any] = {"tires": {"left_front": {"tread": {"inner": "1/32 in"}}}}
    mend = [{"what": "Replace it.", "renews": ["tires.left_front"], "by": "replaced"}]
    words = [each.key for each in judged(recalls=open_recalls, **thin, before_delivery=mend).gate.first_words]
    assert words == ["gate.recall_do_not_drive", "gate.tire_below", "gate.before_delivery"]


def test_the_holds_of_a_sold_vehicle_are_said_though_the_page_stays():
    thin: dict[str, Any] = {"tires": {"left_front": {"tread": {"inner": "1/32 in"}}}}
    gate = judged(status=str(Status.SOLD), sold_on="2026-11-01", **thin).gate
    assert gate.holding == ()
    assert [words.key for words in gate.first_words] == ["gate.tire_below"]


# Brakes and tires.


def test_a_worn_shoe_holds_the_page_at_its_own_place():
    """Bonded shoes: 1/32 in, 49 CFR 570.5(c)."""
    drum = {"kind": "drum", "shoes": {"leading": "4 mm", "trailing": "0.5 mm"}, "new_shoes": "6 mm", "bonded": True}
    gone = dict.fromkeys(("pads", "new_pads", "rotor", "rotor_discard"), ...)
    assert held(judged(brakes={"right_rear": {**drum, **gone}})) == [
        ("brakes.right_rear.shoes.trailing", "gate.lining_below")
    ]


def test_the_load_of_four_tires_is_held_against_the_weight_only_where_all_four_are_known():
    """Load index 75 carries 387 kg: four carry 3,412 lb (ETRTO load index table)."""
    small = {wheel: {"size": "185/60R14 75H"} for wheel in WHEELS}
    vehicle = {"gross_weight_pounds": 5_000}

    def keys(tires: dict[str, Any], **changes: Any) -> set[str]:
        return said(
            fact.said
            for fact in judged(tires={"placard_size": ..., **tires}, vehicle={**vehicle, **changes}).standing
        )

    assert "gate.tires_load" in keys(small)
    assert "gate.tires_load" not in keys(small, gross_weight_pounds=3_000)
    assert "gate.tires_load" not in keys(small, gross_weight_pounds=...)
    assert "gate.tires_load" not in keys({**small, "left_rear": ...})
    assert "gate.tires_load" not in keys({**small, "left_rear": {"size": ...}})
    assert "gate.tires_load" not in keys({**small, "left_rear": {"size": "185/60R14"}})


def test_thin_front_tread_is_asked_about_where_the_vehicle_may_weigh_over_10_000_pounds():
    """49 CFR 393.75(b): 4/32 in on a front wheel. Only of a body that may be so heavy, and only without a weight."""
    may_be = {(body, weight, wheel) for body in ("pickup", "cargo van") for weight in (...,) for wheel in WHEELS[:2]}
    for body in ("sedan", "suv", "pickup", "cargo van"):
        for weight in (..., 6_000):
            for wheel in WHEELS:
                vehicle = {"body": body, "gross_weight_pounds": weight}
                condition = judged(vehicle=vehicle, tires={wheel: {"tread": {"inner": "3.5/32 in"}}})
                keys = said(fact.said for fact in facts_at(condition, "tires", wheel))
                assert ("gate.tire_heavy" in keys) is ((body, weight, wheel) in may_be), (body, weight, wheel)


# Free texts.


def test_no_free_text_is_a_choice_from_a_list_nor_a_name_of_the_reference():
    """Words of danger are looked for where people write, and not in what a list offers: "none", "diesel"."""
    record = a_vehicle(
        before_delivery=[{"what": "New pads.", "renews": ["brakes.left_front"], "by": "replaced"}],
        history=[{"on": "2026-10-18", "what": "One more photo.", "about": ["defects"]}],
    )
    found = {text.path for text in free_texts(record)}
    assert {("defects", 0, "words"), ("history", 0, "what"), ("before_delivery", 0, "what")} <= found
    steps = {path[-1] for path in found}
    assert not steps & {"vin", "stock", "kind", "fuel", "drive", "status", "renews", "about", "date_code", "affects"}
    assert not any(isinstance(text, Enum) for each in free_texts(record) for text in each.versions.values())


# Since an earlier inspection.


PADS = {side: {"pads": {"inner": "10 mm", "outer": "10 mm"}} for side in ("left_front", "right_front")}


@pytest.mark.parametrize(
    ("fitted", "is_followed"),
    [
        ({"fitted_at": "51,000 mi", "fitted_on": ...}, True),
        ({"fitted_at": "53,000 mi", "fitted_on": ...}, False),
        ({"fitted_at": ..., "fitted_on": "2026-05-01"}, True),
        ({"fitted_at": ..., "fitted_on": "2026-05-03"}, False),
        ({"fitted_at": ..., "fitted_on": "2026-05"}, False),  # perhaps after May 2
    ],
)
def test_pads_fitted_after_the_earlier_inspection_are_not_the_ones_it_measured(fitted, is_followed):
    """The earlier inspection was on May 2, 2026, at 52,000 mi, by its own reading or the odometer's of that day."""
    changed = {side: {"pads": {"inner": "7 mm", "outer": "7 mm"}, **fitted} for side in PADS}
    now = a_vehicle(brakes=changed)
    for at in ("52,000 mi", ...):
        day = {"inspection": {"done_on": "2026-05-02", "at": at}}
        before = a_vehicle(brakes=PADS, odometer={"reading": "52,000 mi", "read_on": "2026-05-02"}, **day)
        for wheel in (Wheel.LEFT_FRONT, Wheel.RIGHT_FRONT):
            assert is_same_lining(before, now, wheel) is is_followed


def test_a_size_that_only_one_inspection_noted_is_no_change_of_size():
    (defect,) = BASE_INSPECTION["defects"]
    sizes = {"6 cm": "4 cm", "4 cm": "6 cm"}
    for now, then in [*sizes.items(), ("6 cm", ...), (..., "6 cm"), ("6 cm", "6 cm")]:
        found = looked_at_twice(
            {"defects": [merged(defect, {"size": then})]}, {"defects": [merged(defect, {"size": now})]}
        )
        is_told = "since.size" in said(found.of(SinceFinding)[0].changed)
        assert is_told is ((now, then) in sizes.items()), (now, then)


def test_a_defect_is_new_only_if_the_earlier_inspection_listed_defects():
    assert "since.new_defect" in said(looked_at_twice({"defects": []}, {}).of(SinceFinding)[0].changed)
    assert "since.new_defect" not in said(looked_at_twice({"defects": ...}, {}).of(SinceFinding)[0].changed)


def test_a_reason_at_a_check_lets_the_defect_that_it_names_tell_how_bad_it_is():
    """Without a reason, what is found at a brake line concerns safety whatever its defect claims."""
    where = {"station": "underside", "part": "brake line"}
    line = {"id": "brake-line", "kind": "worn part", "where": where, "affects": "function", "words": "Rubbed."}
    check = {"finding": "attention", "note": "Rubbed.", "defect": "brake-line"}
    defects = [*BASE_INSPECTION["defects"], line]
    hold = ("checks.brake_lines", "gate.check")
    assert hold in held(judged(checks={"brake_lines": check}, defects=defects))
    explained = {**check, "because": "Only its plastic clip is rubbed."}
    assert hold not in held(judged(checks={"brake_lines": explained}, defects=defects))


ALL_OF_A_SIZE = {
    wheel: {"size": "205/55R16 91H"} for wheel in ("left_front", "right_front", "left_rear", "right_rear")
}


@pytest.mark.parametrize(
    ("left", "is_said"),
    [
        ("205/55R16 91H", False),
        ("215/55R16 93H", False),  # 642.9 against 631.9 mm: 1.7 %
        ("225/55R16 95H", True),  # 653.9 mm: 3.4 %
        ("205/50R17 93H", True),  # 636.8 mm, on another rim
        ("T125/80R16 97M", False),  # a temporary spare is held for being one
        ("worn off", False),
    ],
)
def test_two_sizes_of_tire_on_one_axle_are_stated_first(left: str, is_said: bool):
    tires = {**ALL_OF_A_SIZE, "placard_size": ..., "left_front": {"size": left}}
    gate = judged(tires=tires, vehicle={"gross_weight_pounds": 4000}).gate
    assert ("gate.sizes_apart" in {one.key for one in gate.first_words}) is is_said


@pytest.mark.parametrize(
    ("label", "pressure", "asks"),
    [
        ("35 psi", "21 psi", False),
        ("35 psi", "20.9 psi", True),
        ("80 psi", "48 psi", False),
        ("80 psi", "47 psi", True),
        ("35 psi", "56 psi", False),
        ("35 psi", "57 psi", True),
        (..., "57 psi", False),
        (..., "5 psi", True),
    ],
)
def test_a_pressure_far_from_the_door_label_is_a_question(label: Any, pressure: str, asks: bool):
    tires = {"placard_pressure": label, "right_rear": {"pressure": pressure}}
    paths = [hold.path for hold in judged(tires=tires).gate.holding]
    assert (("tires", "right_rear", "pressure") in paths) is asks


@pytest.mark.parametrize(("rotor", "key"), [("25.9 mm", "rotor_beyond"), ("26.0 mm", "rotor_at"), ("26.1 mm", None)])
def test_a_rotor_at_its_figure_is_stated_first_and_below_it_held(rotor: str, key: str | None):
    gate = judged(brakes={"left_front": {"rotor": rotor}}).gate
    assert [one.key for one in gate.first_words] == ([f"gate.{key}"] if key else [])
    assert gate.may_publish is (key != "rotor_beyond")


def test_a_weak_battery_can_strand_and_a_tire_of_a_size_nobody_can_read_is_unknown():
    facts = judged(
        battery={"tested": "100 CCA", "rated": "600 CCA"}, tires={"left_front": {"size": "worn off"}}
    ).standing
    by_path = {fact.path: fact.harm for fact in facts}
    assert by_path["battery", "tested"] is Harm.CAN_STRAND
    assert by_path["tires", "left_front", "size"] is Harm.UNKNOWN
    assert ("battery", "tested") not in {fact.path for fact in judged(battery={"tested": "590 CCA"}).standing}
