"""Probabilities, costs and their rounding: cases computed by hand, and properties."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as some

from sitegen.condition.basis.forecast import (
    CostRange,
    ItemFacts,
    NeedFacts,
    Outlook,
    OutlookFacts,
    PlanFigure,
    Spreads,
)
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.chances import CERTAIN, Needs, chances_before
from sitegen.condition.outlook.distribution import WHOLE, Shares, Spending, sum_of
from sitegen.condition.outlook.outlook import outlook
from sitegen.condition.outlook.plan import plan_figure, rounded_to
from sitegen.condition.outlook.spreads import levels, spreads
from sitegen.records.figures import DistanceUnit
from tests.condition.judged import US
from tests.condition.outlook.test_outlook import costs, items, years_of_driving

SPREADS = spreads(US.outlook)
AS_EXPECTED = Spreads((1_000,), (100,), (100,), 100, 100, (100, 100), (100, 100), 50)
"""No spread of prices, wear and distance: what is left can be worked out by hand."""


def one_of(earliest: int, latest: int, low: int, high: int) -> ItemFacts:
    """An item that is needed once, in so many months at 12,000 miles a year."""
    return ItemFacts(
        "item", NeedFacts(WholeSpan(100_000 * earliest, 100_000 * latest), None), cost=CostRange(low, high)
    )


def worked_out(*facts: ItemFacts, spread: Spreads = AS_EXPECTED) -> Outlook:
    return outlook(OutlookFacts(DistanceUnit.MILES, facts, spread), 12_000)


def test_a_case_by_hand_of_one_thing():
    """Once between month 6 and month 18, for $100 to $200. In the first year with a chance of 1/2: the mean is
    0.5 x $150 = $75, said as $80. One in ten costs more than $100 + 0.8 x $100 = $180; with a margin of a twentieth
    of that tenth, $181, said as $190. Over three years it comes once: $150."""
    found = worked_out(one_of(6, 18, 10_000, 20_000))
    assert found.first_year.due == PlanFigure(8_000, 0, 19_000)
    assert found.whole.due.about == 15_000
    assert found.no_record == PlanFigure(0, 0, 0)


def test_items_without_a_record_are_done_at_once_in_their_own_sum():
    """A belt of $550 to $950 that may be due: $750 in the second sum, and not a share of it in the first."""
    belt = replace(one_of(0, 60, 55_000, 95_000), no_record=True)
    found = worked_out(belt, replace(one_of(0, 0, 10_000, 10_000), key="due"))
    assert found.first_year.due.about == 10_000
    assert found.no_record.about == 75_000
    assert found.first_year.total.about == 85_000
    assert found.named.no_record == ("item",)


def test_unmeasured_parts_count_as_worn_out_in_the_high_end_and_the_figure():
    """Linings of $300 that last at the most 40 months: a share of 12/40 is known, and all of it at worst."""
    worn = NeedFacts(WholeSpan(0, 0), None)
    facts = replace(one_of(0, 40, 30_000, 30_000), not_measured=True, worst=worn)
    found = worked_out(facts).first_year.due
    assert (found.about, found.low) == (30_000, 0)
    assert found.high >= 30_000


def test_a_repeat_by_hand():
    """First between 0 and 10, then every 10 to the day, before 15: the second comes if the first came before 5."""
    assert chances_before(Needs(0, 10, 10, 10), 15, 50) == (CERTAIN, CERTAIN // 2)


def test_an_open_end_stays_open():
    """No latest end: 1 - earliest / t. From 10 on, before 40: 3 of 4. From 0 on: the chance that is stated."""
    assert chances_before(Needs(10, None), 40, 50) == (CERTAIN * 3 // 4,)
    assert chances_before(Needs(0, None), 40, 50) == (CERTAIN // 2,)


def test_a_need_on_the_last_day_counts_and_one_at_the_end_does_not():
    assert [chances_before(Needs(day, day), 12, 50) for day in (11, 12)] == [(CERTAIN,), ()]


def test_products_of_weights_and_chances_are_exact_in_doubles():
    """ECMA-262, Number.MAX_SAFE_INTEGER: whole numbers are exact below 2**53; the browser counts in them."""
    assert CERTAIN * WHOLE < 2**53


def test_levels_keep_the_mean_and_the_deviation():
    """70 to 130 % in 8 of 10 cases: mean 100 %, standard deviation 30 / 1.2816 = 23.4 %."""
    wear = levels(US.outlook.driver_wear, 5)
    mean = sum(wear) / 5
    assert mean == pytest.approx(100, abs=0.2)
    assert (sum((level - mean) ** 2 for level in wear) / 5) ** 0.5 == pytest.approx(23.4, abs=0.2)


def test_a_rectangle_by_hand():
    """From $100 to $200: 9 in 10 below $190, with a margin $190.50; 8 in 10 between: from $110 on."""
    shares = Shares(sum_of([Spending((CERTAIN,), CostRange(10_000, 20_000))], 79), 79, (1_000,))
    assert plan_figure(15_000, shares, shares) == PlanFigure(15_000, 10_000, 20_000)


@pytest.mark.parametrize(
    ("cents", "step"),
    [
        *((0, 1_000), (19_999, 1_000), (20_000, 5_000), (199_999, 5_000), (200_000, 10_000), (999_999, 10_000)),
        (1_000_000, 50_000),
    ],
)
def test_a_figure_is_rounded_in_steps_of_its_size(cents, step):
    """To 10 below 200, to 50 below 2,000, to 100 below 10,000, then to 500."""
    assert rounded_to(cents) == step


@given(some.lists(items, max_size=4), years_of_driving)
def test_every_figure_stands_within_its_range(many, a_year):
    found = outlook(OutlookFacts(DistanceUnit.MILES, tuple(many), SPREADS), a_year)
    windows = (found.first_year, found.whole)
    for figure in (found.no_record, *(window.due for window in windows), *(window.total for window in windows)):
        assert 0 <= figure.low <= figure.about <= figure.high


@given(some.lists(items, max_size=3), items, years_of_driving)
def test_more_need_never_costs_less(many, more, a_year):
    fewer, others = (
        outlook(OutlookFacts(DistanceUnit.MILES, facts, SPREADS), a_year) for facts in (tuple(many), (*many, more))
    )
    assert fewer.first_year.total.high <= others.first_year.total.high
    assert fewer.no_record.high <= others.no_record.high


@given(items, costs, years_of_driving)
def test_worn_out_never_costs_less_than_what_is_known(facts, cost, a_year):
    """What was not measured can only raise the high ends."""
    known = replace(facts, cost=cost, worst=None, worst_cost=None, not_measured=False)
    unknown = replace(known, worst=NeedFacts(None, WholeSpan(0, 0)))
    one, other = (outlook(OutlookFacts(DistanceUnit.MILES, (item,), SPREADS), a_year) for item in (known, unknown))
    assert one.first_year.total.high <= other.first_year.total.high
    assert one.whole.total.high <= other.whole.total.high


def test_items_in_no_sum_are_named():
    now, soon = WholeSpan(0, None), WholeSpan(91, 274)
    price = CostRange(10_000, 20_000)
    found = worked_out(
        ItemFacts("by a check", NeedFacts(None, now), cost=price, worst=NeedFacts(None, WholeSpan(0, 0))),
        ItemFacts("no basis", NeedFacts(None, None), cost=price),
        ItemFacts("no price", NeedFacts(None, soon)),
        ItemFacts("no record", NeedFacts(None, WholeSpan(0, 274)), cost=price, no_record=True),
        ItemFacts("later", NeedFacts(None, WholeSpan(1_500, 1_800))),
    )
    named = found.named
    assert (named.not_priced, named.no_basis) == (("no price",), ("no basis",))
    assert (named.at_worst, named.no_record, named.not_measured) == (("by a check",), ("no record",), ())
