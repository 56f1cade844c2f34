"""The outlook for a distance a year: cases computed by hand, and properties."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from sitegen.condition.basis.forecast import Band, CostRange, ItemFacts, ItemOutlook, NeedFacts, OutlookFacts
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.outlook import outlook, outlook_facts, shown_distance
from sitegen.condition.outlook.spreads import spreads
from sitegen.records.figures import DistanceUnit
from tests.condition.judged import US

SPREADS = spreads(US.outlook)
CASES = json.loads((Path(__file__).parents[2] / "data" / "condition" / "outlook_cases.json").read_text("utf-8"))


def span(ends) -> WholeSpan | None:
    return None if ends is None else WholeSpan(*ends)


def hundred(miles: WholeSpan | None) -> WholeSpan | None:
    """Return a span of miles in the hundredths that the outlook counts in."""
    if miles is None:
        return None
    return WholeSpan(100 * miles.low, None if miles.high is None else 100 * miles.high)


def facts_of(plain: dict) -> ItemFacts:
    return ItemFacts(
        key="item",
        need=NeedFacts(hundred(span(plain["distance"])), span(plain["days"])),
        again_distance=hundred(span(plain["again_distance"])),
        again_months=span(plain["again_months"]),
        cost=None if plain["cents"] is None else CostRange(*plain["cents"]),
        no_record=plain["no_record"],
    )


def one(facts: ItemFacts, a_year: int) -> ItemOutlook:
    return outlook(OutlookFacts(DistanceUnit.MILES, (facts,), SPREADS), a_year).items[0]


@pytest.mark.parametrize("case", CASES["cases"], ids=lambda case: case["name"])
def test_cases_worked_by_hand(case):
    found = one(facts_of(case["item"]), case["a_year"])
    expected = case["expected"]
    assert [found.band_from.value, found.band_to.value] == [expected["band_from"], expected["band_to"]]
    assert found.months == span(expected["months"])
    assert found.budget_now is expected["budget_now"]


whole = some.integers(0, 200).map(lambda thousands: thousands * 100_000)
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
needs = some.builds(
    NeedFacts, distance=some.none() | spans(whole), days=some.none() | spans(days), own_wear=some.booleans()
)
items = some.builds(
    ItemFacts,
    key=some.just("item"),
    need=needs,
    again_distance=some.none() | spans(whole, 100_000),
    again_months=some.none() | spans(months, 1),
    cost=costs,
    no_record=some.booleans(),
)


@given(items, years_of_driving, years_of_driving)
def test_more_miles_a_year_never_delay_anything(facts, one_distance, other_distance):
    fewer, more = (one(facts, a_year) for a_year in sorted((one_distance, other_distance)))
    if fewer.months is not None and more.months is not None:
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
    need = facts.need
    loose = replace(
        facts,
        need=replace(
            need,
            distance=wider(need.distance, 100 * miles, 100 * miles, 0),
            days=wider(need.days, some_days, some_days, 0),
        ),
    )
    tight_needs, loose_needs = one(facts, a_year), one(loose, a_year)
    if loose_needs.months is None:
        return
    if tight_needs.months is not None:
        assert loose_needs.months.low <= tight_needs.months.low
        assert end_of(loose_needs.months) >= end_of(tight_needs.months)


@given(some.lists(items, max_size=5))
def test_the_facts_survive_json_and_stay_exact_in_a_browser(many):
    """ECMA-262: integers are exact up to 2**53 - 1. The largest product: 5,844 x 100 x 130 x hundredths."""
    plain = json.loads(json.dumps(outlook_facts(OutlookFacts(DistanceUnit.MILES, tuple(many), SPREADS))))
    for item, facts in zip(plain["items"], many, strict=True):
        assert span(item["need"]["distance"]) == facts.need.distance
        assert span(item["need"]["days"]) == facts.need.days
        assert span(item["again_months"]) == facts.again_months
    distances = [end for item in plain["items"] for end in item["need"]["distance"] or () if end]
    assert all(5_844 * 100 * 130 * end < 2**53 for end in distances)


def test_the_most_urgent_item_is_first_and_items_without_basis_are_last():
    def months_from(key, low, high, no_record=False):
        return ItemFacts(key, NeedFacts(None, WholeSpan(30 * low, high and 30 * high)), no_record=no_record)

    unordered = (
        ItemFacts("nothing known", NeedFacts(None, None)),
        months_from("later", 40, 50),
        months_from("open", 3, None),
        months_from("no record", 0, 9, no_record=True),
        months_from("first year", 3, 9),
        months_from("due", 0, 0),
        months_from("may be due", 0, 9),
    )
    found = outlook(OutlookFacts(DistanceUnit.MILES, unordered, SPREADS), 12_000)
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
    assert one(ItemFacts("item", NeedFacts(hundred(miles), time)), 12_000).by_time is by_time


def test_own_wear_is_shown_with_the_range_of_the_next_driver():
    """18,000 to 31,000 mi at 0.7 to 1.3 of the last driver's wear: 13,846.15 to 44,285.71 mi. At 12,000 a year
    that is 13.8 to 44.3 months. Held to 40,000 mi at the most, 40 months."""
    need = NeedFacts(WholeSpan(1_800_000, 3_100_000), None, own_wear=True)
    assert one(ItemFacts("item", need), 12_000).months == WholeSpan(13, 45)
    assert shown_distance(need, SPREADS) == WholeSpan(1_384_615, 4_428_572)
    held = replace(need, most_distance=WholeSpan(3_000_000, 4_000_000))
    assert one(ItemFacts("item", held), 12_000).months == WholeSpan(13, 40)
    assert shown_distance(held, SPREADS) == WholeSpan(1_384_615, 4_000_000)


def test_a_distance_of_zero_a_year_raises():
    with pytest.raises(ValueError, match="for ever"):
        outlook(OutlookFacts(DistanceUnit.MILES, (), SPREADS), 0)


def test_a_later_day_shortens_times_and_not_distances():
    """Read 100 days later, 9,000 mi are still 9,000 mi, at 12,000 a year 9 months from then; of 30 to 274 days, 0 to
    174 are left: due now to month 6."""
    facts = OutlookFacts(
        DistanceUnit.MILES,
        (
            ItemFacts("pads", NeedFacts(WholeSpan(900_000, 900_000), None)),
            ItemFacts("fluid", NeedFacts(None, WholeSpan(30, 274))),
        ),
        SPREADS,
    )
    fluid, pads = outlook(facts, 12_000, later=100).items
    assert (pads.key, pads.months) == ("pads", WholeSpan(9, 9))
    assert (fluid.key, fluid.months, fluid.band_from) == ("fluid", WholeSpan(0, 6), Band.DUE_NOW)


def test_bands_keep_their_words():
    """The browser's module and the catalogs know the bands by these words."""
    assert [band.value for band in Band] == [
        *("due now", "first year", "second year", "third year", "later", "no basis to say"),
    ]
