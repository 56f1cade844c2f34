"""Projection of wear from one reading.

The cases are worked by hand from the formulas of linear wear (common practice); each says its arithmetic. Units:
32nds of an inch or millimetres, and miles or kilometres. Properties are searched for counterexamples by hypothesis.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as some

from sitegen.condition.basis.values import Span, WholeSpan
from sitegen.condition.outlook.projection import Wear, project, project_as_mates, round_outward, usable_share

TIRE_LIFE = Span(Fraction(35_000), Fraction(65_000))
FRONT_PAD_LIFE = Span(Fraction(25_000), Fraction(65_000))
REAR_PAD_LIFE = Span(Fraction(35_000), Fraction(75_000))
HALF = Fraction(1, 2)


def wear(now, new, driven, worn_out, life=TIRE_LIFE, error=HALF, new_high=None) -> Wear:
    def exact(value):
        return None if value is None else Fraction(str(value))

    high = new if new_high is None else new_high
    return Wear(
        exact(now), exact(error), exact(new), exact(high), exact(worn_out), life, exact(driven), Fraction(5_000)
    )


# Each: reading, exact low and high, shown range.
WORKED: dict[str, tuple[Wear, Fraction | str, Fraction | str, tuple[int, int]]] = {
    # Tire, new 10, now 6, to 2, 24,000 mi. 3.5 x 24,000 / 4.5 and 4.5 x 24,000 / 3.5.
    "own history of a tire": (wear(6, 10, 24_000, 2), "56000/3", "216000/7", (18_000, 31_000)),
    # Front pads, new 12 mm, now 7, to 3, 28,000 mi. 3.5 x 28,000 / 5.5 and 4.5 x 28,000 / 4.5, exactly 28,000.
    "high end exactly whole": (wear(7, 12, 28_000, 3, FRONT_PAD_LIFE), "196000/11", "28000", (17_000, 28_000)),
    # New 10 to 11 assumed, now 5. 35,000 x 2.5 / 9 and 65,000 x 3.5 / 8.
    "depth when new assumed": (wear(5, 10, None, 2, new_high=11), "87500/9", "28437.5", (9_000, 29_000)),
    # Inner edge 3, the rest 6; the lowest decides. 0.5 x 20,000 / 7.5 and 1.5 x 20,000 / 6.5.
    "uneven across the tread": (wear(3, 10, 20_000, 2), "4000/3", "60000/13", (1_000, 5_000)),
    # In mm and km: new 8.0, now 4.6, to 1.6, 30,000 km, error 0.4. 2.6 x 30,000 / 3.8 and 3.4 x 30,000 / 3.
    "metric": (
        wear("4.6", 8, 30_000, "1.6", Span(Fraction("56327.04"), Fraction("104607.36")), "0.4"),
        "390000/19",
        "34000",
        (20_000, 34_000),
    ),
    # New 10, now 9.5 after 3,000 mi: no more than the error, and too short. 35,000 x 7 / 8, and 65,000 x 1.
    "too little wear to measure": (wear("9.5", 10, 3_000, 2), "30625", "65000", (30_000, 65_000)),
    # Front pads, new 12 mm, now 9, to 3, 41,207 mi. 5.5 x 41,207 / 3.5; alone 107,138.2, held to 130,000 x 6.5 / 9.
    "slow wear": (
        wear(9, 12, 41_207, 3, FRONT_PAD_LIFE),
        Fraction(11, 7) * 41_207,
        Fraction(845_000, 9),
        (64_000, 94_000),
    ),
    # Rear pads, new 10 mm, now 6, to 3, 45,000 mi. 2.5 x 45,000 / 4.5 and 3.5 x 45,000 / 3.5.
    "rear pads": (wear(6, 10, 45_000, 3, REAR_PAD_LIFE), "25000", "45000", (25_000, 45_000)),
}


@pytest.mark.parametrize("case", WORKED)
def test_worked_cases_come_out_to_the_fraction(case):
    reading, low, high, shown = WORKED[case]
    projection = project(reading, reading.worn_out)
    assert projection.span == Span(Fraction(low), Fraction(high))
    assert round_outward(projection.span) == WholeSpan(*shown)


def test_months_of_the_first_case_at_the_national_average():
    """18,666.7 to 30,857.1 mi at 13,476 a year: 16.6 to 27.5 months, rounded outward to a tenth."""
    span = project(wear(6, 10, 24_000, 2), Fraction(2)).span
    tenths = round_outward(Span(span.low * 120 / 13_476, span.high * 120 / 13_476), step=1)
    assert tenths == WholeSpan(166, 275)


def test_the_mark_at_which_to_plan_comes_before_the_limit():
    """To 4/32: 1.5 x 24,000 / 4.5 = 8,000 and 2.5 x 24,000 / 3.5 = 17,142.9 mi."""
    span = project(wear(6, 10, 24_000, 2), Fraction(4)).span
    assert span == Span(Fraction(8_000), Fraction(120_000, 7))


@pytest.mark.parametrize("now", ["1.5", "2.0"])
def test_at_or_below_the_limit_nothing_is_left_and_never_less(now):
    assert project(wear(now, 10, 24_000, 2), Fraction(2)).span == Span(Fraction(0), Fraction(0))


def test_more_than_new_is_a_contradiction_not_a_projection():
    assert project(wear(11, 10, 24_000, 2), Fraction(2)) is None


def test_the_lowest_point_decides_and_not_the_average():
    """The average of 3, 6 and 6 is 5: it would say 3 x 20,000 / 5 = 12,000 mi, more than the lowest point ever
    allows."""
    assert project(wear(3, 10, 20_000, 2), Fraction(2)).span.high < 12_000


def test_usable_share_counts_from_the_limit():
    """(6 - 2) / (10 - 2) = 50 %; (7 - 3) / (12 - 3) = 44.4 %; (4 - 2) / (10 - 2) = 25 %."""
    assert usable_share(Fraction(6), Fraction(10), Fraction(2)) == HALF
    assert usable_share(Fraction(7), Fraction(12), Fraction(3)) == Fraction(4, 9)
    assert usable_share(Fraction(4), Fraction(10), Fraction(2)) == Fraction(1, 4)


@pytest.mark.parametrize("new", ["2", "1.9"])
def test_a_new_depth_below_the_limit_raises(new):
    with pytest.raises(ValueError, match="must be above"):
        project(wear(1, new, 24_000, 2), Fraction(2))
    with pytest.raises(ValueError, match="must be above"):
        usable_share(Fraction(1), Fraction(new), Fraction(2))


def test_an_unknown_distance_uses_typical_life():
    reading = Wear(Fraction(6), HALF, Fraction(10), Fraction(10), Fraction(2), TIRE_LIFE, driven=Fraction(0))
    assert project(reading, Fraction(2)).own_history is False


def test_a_distance_below_the_least_history_uses_typical_life():
    assert project(wear(6, 10, 4_999, 2), Fraction(2)).own_history is False
    assert project(wear(6, 10, 5_000, 2), Fraction(2)).own_history is True


def test_slow_wear_is_followed_to_twice_the_usual_life_and_no_further():
    """New 10, now 8, 30,000 mi: 5.5 x 30,000 / 2.5 = 66,000; 6.5 x 30,000 / 1.5 = 130,000, more than
    2 x 65,000 x 6.5 / 8 = 105,625. Worn by no more than the error, it has no high end of its own, and a low end
    that is held as well: 2 x 65,000 x 7 / 8 = 113,750."""
    projection = project(wear(8, 10, 30_000, 2), Fraction(2))
    assert projection.span == Span(Fraction(66_000), Fraction(105_625))
    assert projection.held is True
    assert project(wear(6, 10, 24_000, 2), Fraction(2)).held is False
    assert project(wear("9.5", 10, 30_000, 2), Fraction(2)).span == Span(Fraction(113_750), Fraction(130_000))


def test_an_open_typical_life_is_limited_too():
    """Where the motor brakes: 0.5 mm worn in 40,000 mi is at most 1 mm, so 7 x 40,000 / 1 mi at the least. The usual
    life of 25,000 mi or more counts as four times that: held to 2 x 100,000 x 7 / 8 = 175,000 and to 200,000 mi."""
    open_life = Span(Fraction(25_000), None)
    projection = project(wear("10.5", 11, 40_000, 3, open_life), Fraction(3))
    assert (projection.span, projection.held) == (Span(Fraction(175_000), Fraction(200_000)), True)
    assert project(wear("10.5", 11, None, 3, open_life), Fraction(3)).span.high is None


def test_a_typical_depth_when_new_gives_both_ends():
    """10/32 to 11/32 in when new, 6/32 now, to 2/32, after 24,000 mi, error 0.5/32: 3.5 x 24,000 / 5.5 = 15,272.7 mi
    to 4.5 x 24,000 / 3.5 = 30,857.1 mi (worked by hand)."""
    span = project(wear(6, 10, 24_000, 2, new_high=11), Fraction(2)).span
    assert (int(span.low), int(span.high)) == (15_272, 30_857)


def test_an_edge_wears_like_the_rest_once_the_cause_is_gone():
    """10/32 in when new, 5/32 now, its mates 7/32, to 2/32, after 22,600 mi, error 0.5/32: 2.5 x 22,600 / 3.5 =
    16,142.9 mi to 3.5 x 22,600 / 2.5 = 31,640 mi (worked by hand); at its own rate 10,272.7 to 17,577.8 mi."""
    edge = wear(5, 10, 22_600, 2)
    mended = project_as_mates(edge, [Fraction(7), Fraction(7)], Fraction(2))
    assert (int(mended.span.low), int(mended.span.high)) == (16_142, 31_640)
    assert project_as_mates(edge, [Fraction(5)], Fraction(2)) is None
    assert project_as_mates(edge, [], Fraction(2)) is None


tenths = some.integers(0, 140).map(lambda number: Fraction(number, 10))
lives = some.sampled_from([TIRE_LIFE, FRONT_PAD_LIFE, REAR_PAD_LIFE, Span(Fraction(25_000), None)])
distances = some.one_of(some.none(), some.integers(0, 150_000).map(Fraction))
errors = some.integers(1, 20).map(lambda number: Fraction(number, 10))


@some.composite
def wears(draw):
    worn_out = draw(some.sampled_from([Fraction(2), Fraction("1.6"), Fraction(3)]))
    new_low = draw(some.integers(40, 140).map(lambda number: Fraction(number, 10)))
    new_high = new_low + draw(some.sampled_from([Fraction(0), Fraction(0), Fraction(1), Fraction(3)]))
    now = draw(tenths)
    return Wear(now, draw(errors), new_low, new_high, worn_out, draw(lives), draw(distances), Fraction(5_000))


def changed(reading: Wear, **changes) -> Wear:
    return Wear(**{**reading.__dict__, **changes})


def high_of(span: Span) -> Fraction:
    return Fraction(10**12) if span.high is None else span.high


@given(wears())
def test_a_range_is_in_order_and_not_below_zero(reading):
    projection = project(reading, reading.worn_out)
    assume(projection is not None)
    assert 0 <= projection.span.low <= high_of(projection.span)


# Where the wear is about as large as the error, own wear alone has a high end without bound.
@settings(max_examples=300)
@given(wears(), tenths)
@example(wear(9, 10, 40_000, 2), Fraction(1, 10))
@example(wear("10.1", 11, 60_000, 3, FRONT_PAD_LIFE), Fraction(2, 10))
def test_less_depth_never_lengthens_life(reading, less):
    """Both ends, whatever the two readings rest on."""
    more = project(reading, reading.worn_out)
    fewer = project(changed(reading, now=max(reading.now - less, Fraction(0))), reading.worn_out)
    assume(more is not None)
    assert fewer.span.low <= more.span.low
    assert high_of(fewer.span) <= high_of(more.span)


@settings(max_examples=300)
@given(wears(), errors)
@example(wear(6, 10, 24_000, 2, error="1.99"), Fraction(1, 100))
def test_a_coarser_gauge_never_narrows_the_range(reading, wider):
    fine = project(reading, reading.worn_out)
    coarse = project(changed(reading, error=reading.error + wider), reading.worn_out)
    assume(fine is not None)
    assert coarse.span.low <= fine.span.low
    assert high_of(coarse.span) >= high_of(fine.span)


@given(wears(), some.integers(0, 10), some.integers(0, 10))
def test_a_wider_range_of_new_depths_never_narrows_the_range(reading, down, up):
    assume(reading.new_low < reading.new_high)
    low = max(reading.new_low - Fraction(down, 10), reading.worn_out + Fraction(1, 10))
    wider = changed(reading, new_low=low, new_high=reading.new_high + Fraction(up, 10))
    narrow, wide = project(reading, reading.worn_out).span, project(wider, reading.worn_out).span
    assert wide.low <= narrow.low
    assert high_of(wide) >= high_of(narrow)


@given(wears(), some.integers(0, 20_000), some.integers(0, 20_000))
def test_a_wider_typical_life_never_narrows_the_range(reading, down, up):
    life = reading.life
    least = life.low if life.high is None else max(life.low - down, Fraction(0))
    wider = Span(least, None if life.high is None else life.high + up)
    narrow = project(reading, reading.worn_out)
    wide = project(changed(reading, life=wider), reading.worn_out)
    assume(narrow is not None)
    # The bound on own wear is made of the longest usual life alone: where it bites, a longer one moves both ends out.
    assert narrow.own_history or wide.span.low <= narrow.span.low
    assert high_of(wide.span) >= high_of(narrow.span)


@given(wears())
def test_the_unit_does_not_matter(reading):
    """The same in millimetres as in 32nds of an inch: 1/32 in is 0.79375 mm."""
    unit = Fraction("0.79375")
    in_millimetres = changed(
        reading,
        now=reading.now * unit,
        error=reading.error * unit,
        new_low=reading.new_low * unit,
        new_high=reading.new_high * unit,
        worn_out=reading.worn_out * unit,
    )
    assert project(in_millimetres, in_millimetres.worn_out) == project(reading, reading.worn_out)


@given(some.fractions(0, 200_000), some.fractions(0, 200_000))
def test_rounding_outward_never_cuts_and_never_adds_a_step(low, more):
    span = Span(low, low + more)
    shown = round_outward(span)
    assert shown.low <= span.low < shown.low + 1_000
    assert shown.high - 1_000 < span.high <= shown.high
