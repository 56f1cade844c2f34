"""Costs from the store's price list, and the gate that holds a page back."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.condition.basis.forecast import Band, CostRange, PlanFigure
from sitegen.condition.outlook.costs import cost_of
from sitegen.records.money.prices import PriceList
from tests.builders import BASE_INSPECTION, a_vehicle
from tests.condition.judged import EU, judged

PRICES = PriceList.model_validate(
    {
        "prices": {
            "tire": "120-230",
            "front_pads": "170-259.50",
            "rear_pads": "160-250",
            "rear_pads_and_rotors": "310-490",
        }
    }
)


COMING = (Band.DUE_NOW, Band.FIRST_YEAR, Band.SECOND_YEAR, Band.THIRD_YEAR)


@pytest.mark.parametrize(
    ("services", "count", "cost"),
    [
        (("tire",), 2, CostRange(24_000, 46_000)),
        (("tire",), 4, CostRange(48_000, 92_000)),
        (("front_pads",), 1, CostRange(17_000, 25_950)),
        (("rear_pads", "rear_pads_and_rotors"), 1, CostRange(16_000, 49_000)),
        (("front_pads", "front_pads_and_rotors"), 1, None),
        (("battery",), 1, None),
    ],
)
def test_cost_of_doing_it_once(services, count, cost):
    """Added up by hand, in cents; where one of two ways has no price, neither end is known."""
    assert cost_of(services, count, PRICES, a_vehicle()).known == cost


def test_without_a_price_list_every_item_that_may_come_is_named():
    condition = judged()
    assert condition.outlook.whole.total == PlanFigure(0, 0, 0)
    may_come = {found.key for found in condition.outlook.items if found.band_from in COMING or found.budget_now}
    assert may_come <= set(condition.outlook.named.not_priced)


# Each: what the record says, and the path and the sentence of what holds the page.
HOLDS: dict[str, tuple[dict[str, Any], str, str]] = {
    "tread": (
        {"tires": {"left_front": {"tread": {"inner": "1/32 in"}}}},
        "tires.left_front.tread.inner",
        "gate.tire_below",
    ),
    "lining": (
        {"brakes": {"right_rear": {"pads": {"outer": "0.5 mm"}}}},
        "brakes.right_rear.pads.outer",
        "gate.lining_below",
    ),
    "rotor": ({"brakes": {"left_front": {"rotor": "25.9 mm"}}}, "brakes.left_front.rotor", "gate.rotor_beyond"),
    "check": ({"checks": {"brake_lines": "attention"}}, "checks.brake_lines", "gate.check"),
    "defect": (
        {
            "defects": [
                {
                    "id": "brake-hose",
                    "kind": "worn part",
                    "where": {"station": "left front", "part": "brake hose"},
                    "affects": "safety",
                    "words": "The hose is cracked.",
                }
            ]
        },
        "defects.0.affects",
        "gate.safety_defect",
    ),
}
MENDED = {
    "check": "checks.brake_lines",
    "tread": "tires.left_front",
    "lining": "brakes.right_rear",
    "rotor": "brakes.left_front",
}


def mend(name: str) -> dict[str, Any]:
    settles = {"settles": ["brake-hose"]} if name == "defect" else {"renews": [MENDED[name]]}
    return {"what": "Replace it.", "by": "replaced", **settles}


@pytest.mark.parametrize("name", HOLDS)
def test_a_figure_below_a_limit_or_a_safety_defect_holds_the_page(name):
    changes, path, key = HOLDS[name]
    gate = judged(**changes).gate
    assert gate.may_publish is False
    assert [(hold.where, hold.said.key) for hold in gate.holding] == [(path, key)]


@pytest.mark.parametrize("name", HOLDS)
def test_a_promise_releases_the_page_and_is_stated_first(name):
    changes, _, key = HOLDS[name]
    gate = judged(**changes, before_delivery=[mend(name)]).gate
    assert (gate.may_publish, gate.holding) == (True, ())
    assert [words.key for words in gate.first_words] == [key, "gate.before_delivery"]


@pytest.mark.parametrize("name", HOLDS)
def test_work_done_since_releases_the_page_and_nothing_is_stated_first(name):
    changes, _, _ = HOLDS[name]
    gate = judged(**changes, work_done=[{**mend(name), "on": "2026-10-05"}]).gate
    assert (gate.may_publish, gate.first_words) == (True, ())


@pytest.mark.parametrize("name", HOLDS)
def test_sold_not_for_road_use_may_be_published_and_says_both_first(name):
    changes, _, key = HOLDS[name]
    gate = judged(**changes, not_for_road_use=True).gate
    assert gate.may_publish is True
    assert [words.key for words in gate.first_words] == ["gate.not_for_road_use", key]


def test_a_promise_about_something_else_does_not_help():
    changes, path, _ = HOLDS["tread"]
    promise = {"what": "Replace it.", "renews": ["tires.right_front"], "by": "replaced"}
    assert [hold.where for hold in judged(**changes, before_delivery=[promise]).gate.holding] == [path]


@pytest.mark.parametrize(("settles", "may_publish"), [("brake-line", True), ("fog-light-lens", False)])
def test_a_promise_about_the_defect_that_a_check_names_answers_the_check(settles, may_publish):
    where = {"station": "underside", "part": "brake line"}
    defect = {"id": "brake-line", "kind": "worn part", "where": where, "affects": "function", "words": "Rubbed."}
    lens = BASE_INSPECTION["defects"][0]
    condition = judged(
        checks={"brake_lines": {"finding": "attention", "note": "Rubbed.", "defect": "brake-line"}},
        defects=[lens, defect],
        before_delivery=[{"what": "Replace it.", "settles": [settles], "by": "replaced"}],
    )
    assert condition.gate.may_publish is may_publish


def test_one_promise_for_two_holds_is_stated_once():
    changes: dict[str, Any] = {
        "tires": {wheel: {"tread": {"inner": "1/32 in"}} for wheel in ("left_front", "right_front")}
    }
    gate = judged(
        **changes, before_delivery=[{"what": "Fit four new tires.", "renews": ["tires"], "by": "replaced"}]
    ).gate
    assert [words.key for words in gate.first_words].count("gate.before_delivery") == 1
    assert [words.key for words in gate.first_words].count("gate.tire_below") == 2


def test_the_page_of_a_sold_vehicle_stays():
    changes, _, _ = HOLDS["tread"]
    assert judged(**changes, status="sold").gate.may_publish is True


def test_a_spare_holds_nothing():
    spare = {"tread": {"center": "1/32 in"}, "kind": "temporary spare"}
    assert judged(tires={"spare": spare}).gate.may_publish is True


def test_the_region_decides():
    """1.59 mm meets 2/32 in (1.5875 mm, 49 CFR 570.9(a)) and not 1.6 mm (Directive 89/459/EEC)."""
    changes: dict[str, Any] = {"tires": {"left_front": {"tread": {"inner": "1.59 mm"}}}}
    assert judged(**changes).gate.may_publish is True
    assert judged(EU, **changes).gate.may_publish is False
