"""The remaining life of parts that are replaced together, and distances driven since: computed by hand, in miles."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import permutations

import pytest

from sitegen.condition.basis.odometer import odometer_between
from sitegen.condition.basis.values import KnownBy, Span, WholeSpan
from sitegen.condition.outlook.chances import CERTAIN, Needs, sum_below
from sitegen.condition.outlook.part_life import (
    PartLife,
    days_left,
    driven_since_fitted,
    driven_since_measured,
    first_to_go,
    minus,
    no_sooner_than,
    reading_error,
)
from sitegen.records.quantities import Depth, Distance
from sitegen.records.sourced import Months
from sitegen.records.wear import Gauge
from tests.builders import a_vehicle

MEASURED, TYPICAL, RECORDS = KnownBy.MEASURED, KnownBy.TYPICAL, KnownBy.FROM_RECORDS


def miles(low: int, high: int | None) -> Span:
    return Span(*(None if end is None else Distance.of_miles(Fraction(end)).metres for end in (low, high)))


@pytest.mark.parametrize(
    ("driven", "left"), [(0, (10, 20)), (4, (6, 16)), (10, (0, 10)), (15, (0, 5)), (20, (0, 0)), (25, (0, 0))]
)
def test_distance_driven_is_subtracted_from_both_ends_and_stops_at_zero(driven, left):
    assert minus(Span(Fraction(10), Fraction(20)), Fraction(driven)) == Span(*map(Fraction, left))
    assert minus(Span(Fraction(10), None), Fraction(driven)) == Span(Fraction(left[0]), None)


# Each: of two parts the one that decides, and the one that lasts longer.
PAIRS = {
    "the nearer low end": (PartLife(miles(5, 30), None, MEASURED), PartLife(miles(6, 20), None, TYPICAL)),
    "the nearer high end, where the low ends are one": (
        PartLife(miles(5, 20), None, MEASURED),
        PartLife(miles(5, 30), None, TYPICAL),
    ),
    "a known distance before none": (PartLife(miles(50, 90), None, MEASURED), PartLife(None, None, TYPICAL)),
    "due now by age before any distance": (
        PartLife(None, WholeSpan(0, 0), MEASURED),
        PartLife(miles(5, 20), WholeSpan(30, 60), TYPICAL),
    ),
    "an open end counts as its low end": (
        PartLife(miles(5, None), None, MEASURED),
        PartLife(miles(5, 30), None, TYPICAL),
    ),
}


@pytest.mark.parametrize("name", PAIRS)
def test_the_part_that_wears_out_first_decides_in_any_order(name):
    for pair in permutations(PAIRS[name]):
        assert first_to_go(pair).known_by is MEASURED


def test_each_end_is_the_nearest_of_all_parts():
    lives = [
        PartLife(miles(5, 30), WholeSpan(40, 90), MEASURED),
        PartLife(miles(6, 20), WholeSpan(50, None), TYPICAL),
        PartLife(miles(9, None), None, RECORDS),
    ]
    found = first_to_go(lives)
    assert (found.distance, found.days) == (miles(5, 20), WholeSpan(40, 90))
    assert first_to_go([PartLife(miles(5, None), None, TYPICAL)]).distance == miles(5, None)


@pytest.mark.parametrize(
    ("life", "old", "found"),
    [
        ((10, 20), (5, 15), (10, 20)),
        ((10, 20), (12, 18), (12, 20)),
        ((10, 20), (5, 40), (10, 40)),
        ((10, None), (12, 40), (12, None)),
        ((10, 20), (12, None), (12, None)),
    ],
)
def test_a_renewed_part_is_never_due_earlier_than_the_old_one(life, old, found):
    lives = [PartLife(miles(*ends), None, TYPICAL) for ends in (life, old)]
    assert no_sooner_than(*lives).distance == miles(*found)
    assert no_sooner_than(lives[0], PartLife(None, None, TYPICAL)) == lives[0]


def test_the_metres_since_it_was_measured():
    """Measured at 63,000 of 64,000 mi. Where one of the two was not noted, nothing is taken off."""
    assert driven_since_measured(a_vehicle(inspection={"at": "63,000 mi"})) == Distance.of_miles(1_000).metres
    assert driven_since_measured(a_vehicle(inspection={"at": ...})) == 0
    assert driven_since_measured(a_vehicle(odometer={"reading": ...})) == 0


@pytest.mark.parametrize(("fitted", "driven"), [(63_000, 0), (62_000, 1_000), (63_001, None)])
def test_the_metres_that_a_part_had_run(fitted, driven):
    record = a_vehicle(inspection={"at": "63,000 mi"})
    found = driven_since_fitted(record, Distance.of_miles(fitted), "tires.left_front", ("tires.left_front.tread",))
    assert found == (None if driven is None else Distance.of_miles(driven).metres)


@pytest.mark.parametrize(("step", "error"), [("1 mm", "0.5"), ("0.4 mm", "0.25"), (None, "0.25")])
def test_the_reading_error_is_half_a_gauge_step_or_the_usual_error(step, error):
    gauge = Gauge(name="gauge", reads_to=None if step is None else Depth.parse(step))
    assert reading_error(gauge, Fraction("0.25")) == Fraction(error)
    assert reading_error(None, Fraction("0.25")) == Fraction("0.25")


def test_a_calendar_life_ends_between_two_days():
    """Fluid of April 2 that lasts 6 to 12 months: October 2 at the earliest, 18 days after September 14."""
    months, made = Months(low=6, high=12), date(2026, 4, 2)
    assert days_left(months, made, made, date(2026, 9, 14)) == WholeSpan(18, 200)
    assert days_left(months, made, date(2026, 4, 12), date(2026, 10, 2)) == WholeSpan(0, 192)
    assert days_left(months, made, made, date(2027, 4, 3)) == WholeSpan(0, 0)


# 40,100 mi on September 14, 2023, and 64,000 on October 4, 2026.
@pytest.mark.parametrize(
    ("earliest", "latest", "shown"),
    [
        (date(2018, 1, 1), date(2023, 1, 1), (0, 40_100)),
        (date(2023, 9, 14), date(2023, 9, 14), (40_100, 40_100)),
        (date(2023, 9, 13), date(2023, 9, 15), (0, 64_000)),
        (date(2024, 1, 1), date(2026, 10, 4), (40_100, 64_000)),
        (date(2024, 1, 1), date(2026, 11, 4), (40_100, 64_000)),
    ],
)
def test_the_odometer_lies_between_the_readings_before_and_after(earliest, latest, shown):
    assert odometer_between(a_vehicle(), earliest, latest) == miles(*shown)


def test_a_chance_lies_between_never_and_always():
    """Two of [0, 1] add up to less than 1 half of the time; to less than 0 never, to less than 2 always."""
    assert [sum_below(limit, 10, 10, 1) for limit in (-1, 0, 10, 20, 21)] == [0, 0, CERTAIN // 2, CERTAIN, CERTAIN]
    assert [sum_below(limit, 0, 10, 1) for limit in (0, 5, 10)] == [0, CERTAIN // 2, CERTAIN]
    assert [sum_below(limit, 10, 0, 3) for limit in (0, 5, 10)] == [0, CERTAIN // 2, CERTAIN]
    assert sum_below(1, 0, 0, 0) == CERTAIN


@pytest.mark.parametrize("repeat", [0, -1])
def test_an_endless_repeat_at_one_moment_raises(repeat):
    with pytest.raises(ValueError, match="at least one unit"):
        Needs(3, 9, repeat, 12)
