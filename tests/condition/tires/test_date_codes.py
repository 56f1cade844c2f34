"""Date codes of tires: 49 CFR 574.5(b)(3) and 64 FR 36807; weeks taken as ISO weeks. Ages as of November 25, 2026."""

from __future__ import annotations

from datetime import date

import pytest

from sitegen.condition.basis.calendar import add_months, months_down, months_up, whole_years
from sitegen.condition.tires.date_codes import CodeFault, made_in
from tests.condition.judged import TODAY


@pytest.mark.parametrize(
    ("code", "monday", "years"),
    [
        ("2318", date(2018, 6, 4), 8),
        ("4726", date(2026, 11, 16), 0),
        ("4826", date(2026, 11, 23), 0),
        ("0121", date(2021, 1, 4), 5),
        ("5016", date(2016, 12, 12), 9),
        ("0100", date(2000, 1, 3), 26),
        ("5320", date(2020, 12, 28), 5),
        ("5199", date(1999, 12, 20), 26),  # four digits before they were asked for: it can only be 1999
    ],
)
def test_week_and_whole_years(code, monday, years):
    made = made_in(code, TODAY)
    assert made.week_begins == monday
    assert whole_years(monday, TODAY) == years
    assert made.earliest < monday < made.latest or made.latest == TODAY


@pytest.mark.parametrize(
    ("code", "fault"),
    [
        ("0018", CodeFault.IMPOSSIBLE_WEEK),
        ("5418", CodeFault.IMPOSSIBLE_WEEK),
        ("549", CodeFault.IMPOSSIBLE_WEEK),
        ("4926", CodeFault.IN_THE_FUTURE),
        ("0127", CodeFault.IN_THE_FUTURE),
    ],
)
def test_an_impossible_date_code_gives_the_reason(code, fault):
    assert made_in(code, TODAY) is fault


@pytest.mark.parametrize("code", ["409", "010", "525"])
def test_three_digit_codes_are_always_older_than_twenty_years(code):
    made = made_in(code, TODAY)
    assert made.earliest is None
    assert whole_years(made.latest, TODAY) > 20


def test_three_digits_are_of_1999_at_the_latest():
    """Week 40 of 1999 began on October 4; a tire is taken as made within the week after it at the latest."""
    assert made_in("409", TODAY).latest == date(1999, 10, 17)


@pytest.mark.parametrize(
    ("start", "end", "down", "up"),
    [
        (date(2026, 1, 31), date(2026, 2, 28), 1, 1),
        (date(2026, 1, 15), date(2026, 2, 14), 0, 1),
        (date(2026, 1, 15), date(2026, 2, 15), 1, 1),
        (date(2026, 2, 15), date(2026, 1, 16), -1, 0),
        (date(2024, 2, 29), date(2025, 2, 28), 12, 12),
    ],
)
def test_months_are_rounded_up_or_down_as_requested(start, end, down, up):
    """Counted on a wall calendar."""
    assert (months_down(start, end), months_up(start, end)) == (down, up)


def test_a_month_on_from_the_last_of_a_month_is_the_last_of_the_next():
    assert add_months(date(2026, 1, 31), 1) == date(2026, 2, 28)
    assert add_months(date(2026, 3, 15), -3) == date(2025, 12, 15)
