"""Work that the store offers before delivery: which lines of the outlook it answers, and what that costs then."""

from __future__ import annotations

from sitegen.condition.outlook.outlook import outlook
from tests.condition.judged import AVERAGE, judged

WORN = {
    "id": "worn-wiper",
    "kind": "worn part",
    "where": {"station": "roof and glass", "part": "wiper blade"},
    "affects": "function",
    "words": "The wiper blade smears.",
    "quote": 45,
}


def test_a_quote_for_a_line_answers_that_line_and_it_comes_again_after_its_interval():
    """Coolant with no record, done before delivery: neither due nor budgeted for, and next due after an interval."""
    condition = judged(outlook={"coolant": {"quote": 140}})
    (offer,) = condition.offers
    assert (offer.about, offer.is_defect, offer.cents, offer.lines) == ("coolant", False, 14_000, ("coolant",))
    before = next(item for item in condition.outlook.items if item.key == "coolant")
    after = next(item for item in outlook(condition.facts, AVERAGE, done=offer.lines).items if item.key == "coolant")
    assert before.budget_now
    assert not after.budget_now
    assert after.months is not None
    assert after.months.low > 0


def test_what_does_not_come_again_is_left_out_once_it_is_done():
    condition = judged(outlook={"shock_absorbers": {"quote": 640}})
    done = outlook(condition.facts, AVERAGE, done=("shock_absorbers",))
    assert "shock_absorbers" in {item.key for item in condition.outlook.items}
    assert "shock_absorbers" not in {item.key for item in done.items}


def test_the_repair_of_a_defect_answers_the_service_that_it_alone_calls_for():
    """Else the sums would count the new blades again, beside the price of the repair."""
    checks = {"wipers_and_washers": {"finding": "attention", "defect": "worn-wiper"}}
    (offer,) = judged(defects=[WORN], checks=checks).offers
    assert (offer.about, offer.is_defect, offer.lines) == ("worn-wiper", True, ("wiper_blades",))


def test_nothing_is_offered_for_a_defect_that_is_promised_anyway():
    promise = {"what": "New wiper blades.", "settles": ["worn-wiper"]}
    assert judged(defects=[WORN], before_delivery=[promise]).offers == ()
