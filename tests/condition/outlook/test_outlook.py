"""The outlook for a distance a year: cases worked by hand, and properties."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from sitegen.condition.basis.forecast import Band, CostRange, ItemFacts, ItemOutlook, OutlookFacts, WindowCost
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.outlook import outlook, outlook_facts
from sitegen.records.figures import DistanceUnit

CASES = json.loads((Path(__file__).parents[2] / "data" / "condition" / "outlook_cases.json").read_text("utf-8"))


def span(ends) -> WholeSpan | None:
    return None if ends is None else WholeSpan(*ends)


def facts_of(plain: dict) -> ItemFacts:
    return ItemFacts(
        key="item",
        distance=span(plain["distance"]),
        days=span(plain["days"]),
        again_distance=span(plain["again_distance"]),
        again_months=span(plain["again_months"]),
        cost=None if plain["cents"] is None else CostRange(*plain["cents"]),
        no_record=plain["no_record"],
    )


def one(facts: ItemFacts, a_year: int) -> ItemOutlook:
    return outlook(OutlookFacts(DistanceUnit.MILES, (facts,)), a_year).items[0]


@pytest.mark.parametrize("case", CASES["cases"], ids=lambda case: case["name"])
def test_cases_worked_by_hand(case):
    found = one(facts_of(case["item"]), case["a_year"])
    expected = case["expected"]
    assert [found.band_from.value, found.band_to.value] == [expected["band_from"], expected["band_to"]]
    assert found.months == span(expected["months"])
    assert found.budget_now is expected["budget_now"]
    assert (list(found.least), list(found.most)) == (expected["least"], expected["most"])


whole = some.integers(0, 200).map(lambda thousands: thousands * 1_000)
months = some.integers(0, 130)
days = some.integers(0, 4_000)
years_of_driving = some.integers(1_000, 40_000)


def spans(ends, least=0):
    def ordered(two):
        low, high = sorted(max(end, least) for end in two)
        return WholeSpan(low, high)

    closed = some.tuples(ends, ends).map(ordered)
    return closed | closed.map(lambda closed_span: WholeSpan(closed_span.low, None))


costs = some.none() | some.tuples(some.integers(0, 90_000), some.integers(0, 90_000)).map(
    lambda two: CostRange(min(two), max(two))
)
items = some.builds(
    ItemFacts,
    key=some.just("item"),
    distance=some.none() | spans(whole),
    days=some.none() | spans(days),
    again_distance=some.none() | spans(whole, 1_000),
    again_months=some.none() | spans(months, 1),
    cost=costs,
    no_record=some.booleans(),
)


@given(items, years_of_driving, years_of_driving)
def test_more_miles_a_year_never_delay_anything(facts, one_distance, other_distance):
    fewer, more = (one(facts, a_year) for a_year in sorted((one_distance, other_distance)))
    for number in (0, 3):  # the windows that begin at once: what comes sooner may leave a later year empty
        assert more.least[number] >= fewer.least[number]
        assert more.most[number] >= fewer.most[number]
    if fewer.months is not None:
        assert more.months.low <= fewer.months.low
        assert end_of(more.months) <= end_of(fewer.months)


def end_of(found: WholeSpan) -> float:
    return math.inf if found.high is None else found.high


def wider(narrow: WholeSpan | None, down: int, up: int, least: int) -> WholeSpan | None:
    if narrow is None:
        return None
    return WholeSpan(max(narrow.low - down, least), None if narrow.high is None else narrow.high + up)


@given(items, years_of_driving, some.integers(0, 30_000), some.integers(0, 900))
def test_wider_facts_never_narrow_the_outlook(facts, a_year, miles, some_days):
    loose = ItemFacts(
        "item",
        wider(facts.distance, miles, miles, 0),
        wider(facts.days, some_days, some_days, 0),
        wider(facts.again_distance, miles, miles, 1_000),
        wider(facts.again_months, some_days // 30, some_days // 30, 1),
        no_record=facts.no_record,
    )
    tight_needs, loose_needs = one(facts, a_year), one(loose, a_year)
    assert all(loose <= tight for loose, tight in zip(loose_needs.least, tight_needs.least, strict=True))
    assert all(loose >= tight for loose, tight in zip(loose_needs.most, tight_needs.most, strict=True))
    if tight_needs.months is not None:
        assert loose_needs.months.low <= tight_needs.months.low
        assert end_of(loose_needs.months) >= end_of(tight_needs.months)


@given(some.lists(items, max_size=5))
def test_the_facts_survive_json_and_stay_exact_in_a_browser(many):
    """ECMA-262: integers are exact up to 2**53 - 1. The largest product is 5,844 ticks x
    miles, or x miles a year."""
    plain = json.loads(json.dumps(outlook_facts(OutlookFacts(DistanceUnit.MILES, tuple(many)))))
    assert [facts_of(item) for item in plain["items"]] == many
    numbers = [end for item in plain["items"] for key in ("distance", "days") for end in item[key] or () if end]
    assert all(5_844 * number * 40_000 < 2**53 for number in numbers)


def test_the_most_urgent_comes_first_and_what_nobody_can_say_last():
    def months_from(key, low, high, no_record=False):
        return ItemFacts(key, None, WholeSpan(30 * low, high and 30 * high), no_record=no_record)

    unordered = (
        ItemFacts("nothing known", None, None),
        months_from("later", 40, 50),
        months_from("open", 3, None),
        months_from("no record", 0, 9, no_record=True),
        months_from("first year", 3, 9),
        months_from("due", 0, 0),
        months_from("may be due", 0, 9),
    )
    found = outlook(OutlookFacts(DistanceUnit.MILES, unordered), 12_000)
    assert [item.key for item in found.items] == [
        *("due", "may be due", "no record", "first year", "open", "later", "nothing known"),
    ]


@pytest.mark.parametrize(
    ("distance", "days", "by_time"),
    [
        # At 12,000 a year, 9,000 go in 273.9 days, and 29,000 in 882.7.
        ((9_000, 29_000), (0, 273), True),
        ((9_000, 29_000), (273, 882), True),
        ((9_000, 29_000), (274, 882), False),
        ((9_000, 29_000), (273, 883), False),
        ((9_000, 29_000), (0, None), False),
        ((9_000, None), (0, 1_200), True),
        ((9_000, 29_000), None, False),
        (None, (0, 273), True),
    ],
)
def test_an_item_goes_by_time_where_days_decide_both_ends(distance, days, by_time):
    """A distance beside an age that has decided would only mislead."""
    miles, time = (None if ends is None else WholeSpan(*ends) for ends in (distance, days))
    (found,) = outlook(OutlookFacts(DistanceUnit.MILES, (ItemFacts("item", miles, time),)), 12_000).items
    assert found.by_time is by_time


def test_what_has_no_price_is_named_if_it_may_come():
    soon, later = ItemFacts("soon", None, WholeSpan(91, 274)), ItemFacts("later", None, WholeSpan(1_500, 1_800))
    found = outlook(OutlookFacts(DistanceUnit.MILES, (soon, later)), 12_000)
    assert found.left_out.not_priced == ("soon",)
    assert found.whole == WindowCost(0, 0, 0, CostRange(0, 0))


def test_no_distance_a_year_is_our_own_mistake():
    with pytest.raises(ValueError, match="for ever"):
        outlook(OutlookFacts(DistanceUnit.MILES, ()), 0)


def test_a_reader_who_comes_later_finds_time_gone_and_no_mile_driven():
    """Read 100 days later, 9,000 mi are still 9,000 mi, at 12,000 a year 9 months from then; of 30 to 274 days, 0 to
    174 are left: due now to month 6."""
    facts = OutlookFacts(
        DistanceUnit.MILES,
        (ItemFacts("pads", WholeSpan(9_000, 9_000), None), ItemFacts("fluid", None, WholeSpan(30, 274))),
    )
    fluid, pads = outlook(facts, 12_000, later=100).items
    assert (pads.key, pads.months) == ("pads", WholeSpan(9, 9))
    assert (fluid.key, fluid.months, fluid.band_from) == ("fluid", WholeSpan(0, 6), Band.DUE_NOW)


@given(items, years_of_driving, some.integers(0, 2_000), some.integers(0, 2_000))
def test_what_is_due_does_not_go_away_by_waiting(facts, a_year, one_day, other_day):
    sooner, later = (
        outlook(OutlookFacts(DistanceUnit.MILES, (facts,)), a_year, day).items[0]
        for day in sorted((one_day, other_day))
    )
    for number in (0, 3):
        assert later.least[number] >= sooner.least[number]
        assert later.most[number] >= sooner.most[number]


def test_bands_keep_their_words():
    """The browser's module and the catalogs know the bands by these words."""
    assert [band.value for band in Band] == [
        *("due now", "first year", "second year", "third year", "later", "no basis to say"),
    ]
