"""How often, how likely and how dear: against brute force, a Monte-Carlo run, and cases worked by hand.

Rectangular distributions between two limits, and the distribution of a sum by convolution: JCGM 101:2008, 6.4.2 and
5.9 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as some

from sitegen.condition.basis.forecast import CostRange, ItemFacts, Outlook, OutlookFacts, PlanFigure, WindowCost
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.chances import CERTAIN, chances_before
from sitegen.condition.outlook.occurrences import Needs, least_times, most_times
from sitegen.condition.outlook.outlook import outlook
from sitegen.condition.outlook.plan import WHOLE, Spending, eight_in_ten, plan_of
from sitegen.records.figures import DistanceUnit
from tests.condition.outlook.test_outlook import costs, items, years_of_driving

DRAWS = 1_000_000


@pytest.mark.parametrize(("start", "end", "least", "most"), [(0, 12, 1, 2), (12, 24, 1, 2)])
def test_the_worked_case_of_how_often(start, end, least, most):
    """First due between 3 and 9 months, repeated every 6 to 12. In months 0 to 12: least 1 (at 9, the next after 12),
    most 2 (3 and 9). In months 12 to 24: least 1 (9, then at most 21), most 2 (12 and 18; 24 is out)."""
    needs = Needs(3, 9, 6, 12)
    assert (least_times(needs, start, end), most_times(needs, start, end)) == (least, most)


@some.composite
def small_needs(draw: some.DrawFn) -> Needs:
    earliest, width = draw(some.integers(0, 9)), draw(some.integers(0, 5))
    low, repeat_width = draw(some.integers(1, 6)), draw(some.integers(0, 4))
    latest = draw(some.sampled_from([earliest + width, None]))
    return draw(
        some.sampled_from(
            [Needs(earliest, latest), Needs(earliest, latest, low, low + repeat_width), Needs(earliest, latest, low)]
        )
    )


def all_counts(needs: Needs, start: int, end: int) -> set[int]:
    """Return how often it can come in the window: every first need and every repeat, one after another."""
    far = end + 1
    counts: set[int] = set()

    def go_on(at: int, count: int) -> None:
        count += start <= at < end
        if at >= end or needs.repeat_low is None:
            counts.add(count)
            return
        last = needs.repeat_high if needs.repeat_high is not None else max(far, needs.repeat_low)
        for step in range(needs.repeat_low, last + 1):
            go_on(at + step, count)

    for first in range(needs.earliest, (far if needs.latest is None else needs.latest) + 1):
        go_on(first, 0)
    return counts


@given(small_needs(), some.integers(0, 8), some.integers(1, 8))
def test_how_often_agrees_with_every_way_that_there_is(needs, start, length):
    counts = all_counts(needs, start, start + length) or {0}
    assert least_times(needs, start, start + length) == min(counts)
    assert most_times(needs, start, start + length) == max(counts)


def one_of(earliest: int, latest: int, low: int, high: int) -> ItemFacts:
    """An item that is needed once, in so many months at 12,000 miles a year."""
    return ItemFacts("item", WholeSpan(1_000 * earliest, 1_000 * latest), None, cost=CostRange(low, high))


def worked_out(*facts: ItemFacts) -> Outlook:
    return outlook(OutlookFacts(DistanceUnit.MILES, facts), 12_000)


def test_a_case_by_hand_of_one_thing():
    """Once between month 6 and month 18, for $100 to $200. In the first year with a chance of 1/2: the mean is
    0.5 x $150 = $75. Half of all cases cost nothing, so the low end is $0; the high end leaves 0.1 of
    0.5 above it: $100 + 0.8 x $100 = $180. Over three years it comes once: $150, and 8 in 10 $110 to $190."""
    found = worked_out(one_of(6, 18, 10_000, 20_000))
    first = found.years[0]
    assert (first.least, first.middle, first.most) == (0, 7_500, 20_000)
    assert first.likely is not None
    assert first.likely.low == 0
    assert first.likely.high == pytest.approx(18_000, abs=20)
    assert (found.whole.least, found.whole.middle, found.whole.most) == (10_000, 15_000, 20_000)
    assert found.whole.likely is not None
    assert found.whole.likely.low == pytest.approx(11_000, abs=20)
    assert found.whole.likely.high == pytest.approx(19_000, abs=20)


def test_a_case_by_hand_of_two_things_at_once():
    """Two things due now, each for $0 to $100, once. Their sum is a triangle from $0 to $200 with its top at $100:
    below x lies x**2 / 20,000 of it, so 1 in 10 costs less than the root of 2,000, $44.72, and 9 in 10 less than
    $200 - $44.72 = $155.28."""
    found = worked_out(one_of(0, 0, 0, 10_000), replace(one_of(0, 0, 0, 10_000), key="other"))
    assert found.years[0].middle == 10_000
    likely = found.years[0].likely
    assert likely is not None
    assert likely.low == pytest.approx(4_472, abs=40)
    assert likely.high == pytest.approx(15_528, abs=40)


def test_each_year_by_itself_has_its_own_share_of_what_comes_once():
    """Once within 36 months, at any time: a third of $300 in each year. Once in the second: nothing beside it.

    The range of 8 in 10 is given of what begins at once, the first year and all three."""
    found = worked_out(one_of(0, 36, 30_000, 30_000))
    assert [year.middle for year in found.years] == [pytest.approx(10_000, abs=1)] * 3
    assert [(year.least, year.most) for year in found.years] == [(0, 30_000)] * 3
    found = worked_out(one_of(13, 20, 30_000, 30_000))
    assert [(year.least, year.middle, year.most) for year in found.years] == [(0, 0, 0), (30_000,) * 3, (0, 0, 0)]
    assert (found.whole.least, found.whole.middle, found.whole.most) == (30_000,) * 3
    assert [window.likely is None for window in (*found.years, found.whole)] == [False, True, True, False]


def test_a_rectangle_leaves_a_tenth_at_each_end():
    """From $0 to $100, and from $50 to $150: exactly, for the edges of its steps lie there."""
    assert eight_in_ten([Spending((CERTAIN,), CostRange(0, 10_000))]) == CostRange(1_000, 9_000)
    assert eight_in_ten([Spending((CERTAIN,), CostRange(5_000, 15_000))]) == CostRange(6_000, 14_000)


def test_a_repeat_by_hand():
    """First between 0 and 10, then every 10 to the day, before 15: the second comes if the first came before 5."""
    assert chances_before(Needs(0, 10, 10, 10), 15) == (CERTAIN, CERTAIN // 2)


def test_what_comes_on_the_last_day_comes_before_the_end_and_on_the_end_does_not():
    assert [chances_before(Needs(day, day), 12) for day in (11, 12)] == [(CERTAIN,), ()]


def test_products_of_weights_and_chances_are_exact_in_doubles():
    """ECMA-262, Number.MAX_SAFE_INTEGER: whole numbers are exact below 2**53; the browser counts in them."""
    assert CERTAIN * WHOLE < 2**53


WORN = (
    ItemFacts(
        "oil",
        WholeSpan(2_000, 7_000),
        WholeSpan(91, 274),
        WholeSpan(5_000, 10_000),
        WholeSpan(6, 12),
        CostRange(6_500, 9_500),
    ),
    ItemFacts(
        "tires",
        WholeSpan(9_000, 29_000),
        WholeSpan(244, 1_644),
        WholeSpan(35_000, 65_000),
        None,
        CostRange(48_000, 92_000),
    ),
    ItemFacts("belt", WholeSpan(0, 37_000), None, WholeSpan(60_000, 105_000), None, CostRange(55_000, 95_000)),
    ItemFacts("fluid", None, WholeSpan(0, 426), None, WholeSpan(24, 36), CostRange(9_000, 13_000)),
    ItemFacts("wipers", None, WholeSpan(0, 365), None, WholeSpan(6, 12), CostRange(3_500, 6_000)),
    ItemFacts("pads", WholeSpan(17_000, 28_000), None, WholeSpan(25_000, 65_000), None, CostRange(17_000, 52_000)),
    ItemFacts("battery", None, WholeSpan(0, 0), None, WholeSpan(36, 60), CostRange(15_000, 24_000)),
    ItemFacts(
        "coolant",
        WholeSpan(11_100, 61_100),
        WholeSpan(0, 822),
        WholeSpan(50_000, 50_000),
        None,
        CostRange(12_000, 18_000),
    ),
)


def drawn(facts: ItemFacts, a_year: int, months: int, dice: numpy.random.Generator) -> numpy.ndarray:
    """Draw what one item costs in so many months, a million times, as a person would: date, repeats and price."""

    def whichever_first(
        distance: WholeSpan | None, calendar: WholeSpan | None, in_months: float
    ) -> tuple[float, float]:
        sizes = ((distance, 12 / a_year), (calendar, in_months))
        spans = [(span.low * size, span.high * size) for span, size in sizes if span]
        return min(low for low, _ in spans), min(high for _, high in spans)

    at = dice.uniform(*whichever_first(facts.distance, facts.days, 12 / 365.25), DRAWS)
    again = whichever_first(facts.again_distance, facts.again_months, 1)
    times = numpy.zeros(DRAWS)
    while (at < months).any():
        times += at < months
        at = at + dice.uniform(*again, DRAWS)
    return times * dice.uniform(facts.cost.low, facts.cost.high, DRAWS)


@pytest.mark.parametrize(("months", "a_year"), [(12, 13_476), (36, 13_476), (36, 31_000)])
def test_the_plan_agrees_with_a_million_draws(months, a_year):
    """The mean within five of its standard errors; below each end of the 8 in 10, a tenth of the draws, within five
    standard errors of such a share, and what half a step of money, 1 of 1,024, adds there."""
    dice = numpy.random.default_rng(20261126)
    found = outlook(OutlookFacts(DistanceUnit.MILES, WORN), a_year)
    window = found.years[0] if months == 12 else found.whole
    sums = sum(drawn(facts, a_year, months, dice) for facts in WORN)
    assert window.middle == pytest.approx(sums.mean(), abs=5 * sums.std() / DRAWS**0.5 + 1)
    half_step = (window.most - window.least) / 1_024
    error = 5 * (0.1 * 0.9 / DRAWS) ** 0.5
    for end, share in ((window.likely.low, 0.1), (window.likely.high, 0.9)):
        assert (sums < end - half_step).mean() - error <= share <= (sums < end + half_step).mean() + error


@given(some.lists(items, max_size=5), years_of_driving)
def test_the_least_is_never_above_the_middle_nor_that_above_the_most(many, a_year):
    found = outlook(OutlookFacts(DistanceUnit.MILES, tuple(many)), a_year)
    for window in (*found.years, found.whole):
        assert window.middle is not None
        assert window.least <= window.middle <= window.most
        plan = plan_of(window)
        assert plan is not None
        assert window.least <= plan.about <= window.most
    for window in (found.years[0], found.whole):
        assert window.likely is not None
        assert window.least <= window.likely.low <= window.middle <= window.likely.high <= window.most


@given(some.lists(items, max_size=4), items, years_of_driving)
def test_more_need_never_costs_less(many, more, a_year):
    fewer = outlook(OutlookFacts(DistanceUnit.MILES, tuple(many)), a_year)
    others = outlook(OutlookFacts(DistanceUnit.MILES, (*many, more)), a_year)
    for one, other in zip((*fewer.years, fewer.whole), (*others.years, others.whole), strict=True):
        assert one.least <= other.least
        assert one.middle is not None
        assert other.middle is not None
        assert one.middle <= other.middle
        assert one.most <= other.most


@given(items.filter(lambda facts: facts.distance or facts.days), costs, years_of_driving, some.integers(0, 50_000))
def test_what_comes_sooner_never_costs_less(facts, cost, a_year, miles):
    """In the windows that begin at once: what comes sooner may leave a later year empty."""
    facts = replace(facts, cost=cost)
    sooner = replace(facts, distance=less(facts.distance, miles), days=less(facts.days, miles // 30))
    one, other = (outlook(OutlookFacts(DistanceUnit.MILES, (item,)), a_year) for item in (facts, sooner))
    for later, earlier in ((one.years[0], other.years[0]), (one.whole, other.whole)):
        assert later.least <= earlier.least
        assert later.middle is not None
        assert earlier.middle is not None
        assert later.middle <= earlier.middle + 1
        assert later.most <= earlier.most


def less(span: WholeSpan | None, by: int) -> WholeSpan | None:
    if span is None:
        return None
    return WholeSpan(max(span.low - by, 0), None if span.high is None else max(span.high - by, 0))


@given(some.lists(items, max_size=4), years_of_driving)
def test_a_doubtful_odometer_never_makes_a_vehicle_look_cheaper(many, a_year):
    """Without its distances there is no figure to plan with, and the most of every year is no less."""
    blind = tuple(replace(facts, distance=None) if facts.again_distance else facts for facts in many)
    relied_on = outlook(OutlookFacts(DistanceUnit.MILES, tuple(many)), a_year)
    doubted = outlook(OutlookFacts(DistanceUnit.MILES, blind, odometer_counts=False), a_year)
    for one, other in zip(windows(relied_on), windows(doubted), strict=True):
        assert other.middle is None
        assert one.most <= other.most


def windows(found: Outlook) -> Iterator[WindowCost]:
    yield from (*found.years, found.whole)


@pytest.mark.parametrize(
    ("window", "plan"),
    [
        (WindowCost(21_500, 323_000, 84_720, CostRange(46_200, 147_000)), (85_000, 45_000, 150_000)),
        (WindowCost(100_000, 900_000, 271_200, CostRange(241_000, 305_500)), (270_000, 240_000, 310_000)),
        (WindowCost(6_500, 9_500, 8_000, CostRange(6_800, 9_200)), (8_000, 6_500, 9_500)),
        (WindowCost(6_520, 6_520, 6_520, CostRange(6_520, 6_520)), (6_520, 6_520, 6_520)),
        (WindowCost(0, 3_000_000, 1_225_000, CostRange(0, 0)), (1_250_000, 0, 0)),
        # One cent below each figure from which it is rounded coarser, and at it.
        (WindowCost(0, 900_000, 19_499, CostRange(19_999, 20_000)), (19_000, 19_000, 20_000)),
        (WindowCost(0, 900_000, 20_000, CostRange(24_999, 25_001)), (20_000, 20_000, 30_000)),
        (WindowCost(0, 900_000, 22_499, CostRange(199_999, 200_000)), (20_000, 195_000, 200_000)),
        (WindowCost(0, 9_000_000, 204_999, CostRange(999_999, 1_000_000)), (200_000, 990_000, 1_000_000)),
        (WindowCost(0, 9_000_000, 1_024_999, CostRange(1_000_001, 1_000_001)), (1_000_000, 1_000_000, 1_050_000)),
    ],
)
def test_a_figure_to_plan_with_is_rounded_as_one_would_say_it(window, plan):
    """To 10 below 200, to 50 below 2,000, to 100 below 10,000, then to 500; never below the least, above the most."""
    about, low, high = plan
    assert plan_of(window) == PlanFigure(about, CostRange(low, high))


def test_all_that_a_sum_leaves_out_is_named():
    now, soon = WholeSpan(0, None), WholeSpan(91, 274)
    price = CostRange(10_000, 20_000)
    facts = (
        ItemFacts("by a check", None, now, cost=price),
        ItemFacts("no basis", None, None, cost=price),
        ItemFacts("no price", None, soon),
        ItemFacts("no record", None, WholeSpan(0, 274), cost=price, no_record=True),
    )
    found = worked_out(*facts)
    named = found.left_out
    assert (named.at_once, named.no_basis, named.not_priced) == (("by a check",), ("no basis",), ("no price",))
    assert (named.no_record, named.any_time) == (("no record",), ())
    assert found.years[0].least == 10_000
    assert found.years[0].middle == 30_000
    blind = ItemFacts("by distance", None, None, again_distance=WholeSpan(30_000, 60_000), cost=price)
    doubted = outlook(OutlookFacts(DistanceUnit.MILES, (blind,), odometer_counts=False), 12_000)
    assert (doubted.left_out.any_time, doubted.left_out.no_basis) == (("by distance",), ())
    assert (doubted.whole.least, doubted.whole.most) == (0, 40_000)
