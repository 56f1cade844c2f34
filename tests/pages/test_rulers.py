"""A ruler shows figures where they are: on an even scale, with the limit hatched from zero."""

from __future__ import annotations

import re
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages.vehicle.measured.rulers import HEIGHT, WIDTH, Ruler, ruler

depths = st.fractions(min_value=0, max_value=21, max_denominator=16)


def drawn(lowest: Fraction | None, others: list[Fraction], limit: Fraction = Fraction(2)) -> Ruler:
    return ruler("words", lowest, others, limit, full_scale=Fraction(10), numbered_every=2)


def test_a_tick_stands_at_every_unit_and_a_number_at_every_other():
    """A tread gauge has a line for each thirty-second of an inch (common practice)."""
    ticks = drawn(Fraction(6), []).ticks
    assert [tick.number for tick in ticks if tick.number] == ["0", "2", "4", "6", "8", "10"]
    assert len(ticks) == 11


def test_a_figure_stands_on_its_own_tick():
    """6/32 in stands on the tick numbered 6, and 2/32 in, the limit, on the tick numbered 2."""
    shown = drawn(Fraction(6), [])
    at = {tick.number: tick.x for tick in shown.ticks}
    assert (shown.lowest_x, shown.limit_x) == (at["6"], at["2"])


@given(depths, st.lists(depths, max_size=3))
def test_every_figure_is_on_the_ruler_in_increasing_order(lowest: Fraction, others: list[Fraction]):
    """The scale grows with the figures: a tire of 21/32 in, deeper than any scale foresaw, is still on it."""
    shown = drawn(lowest, others)
    assert all(shown.zero_x <= x <= shown.zero_x + shown.length for x in (shown.lowest_x, *shown.others_x))
    assert all(shown.lowest_x <= x for x in shown.others_x if min(others) >= lowest)


@given(st.fractions(min_value=Fraction(1, 64), max_value=10, max_denominator=64))
def test_hatching_stays_between_zero_and_the_limit(limit: Fraction):
    """A hatched line past the limit would call good tread bad."""
    shown = drawn(None, [], limit)
    numbers = [int(number) for number in re.findall(r"\d+", shown.hatching)]
    assert all(shown.zero_x <= x <= shown.limit_x for x in numbers[::2])
    assert all(shown.top <= y <= shown.bottom for y in numbers[1::2])


def test_without_a_measurement_the_ruler_is_empty_and_equally_large():
    """What was not measured stands in the same place and size, without a pointer."""
    empty, full = drawn(None, []), drawn(Fraction(6), [])
    assert (empty.pointer, empty.lowest_x) == (None, None)
    assert (empty.width, empty.height) == (full.width, full.height) == (WIDTH, HEIGHT)
