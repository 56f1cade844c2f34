"""The tracked day: it answers as a date does, and an answer holds as long as the recorded questions do.

No outside source; the answers are those of Python's own `date`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest

from sitegen.engine.days import TrackedDay, exactly, untracked

NARROW: dict[str, tuple[int, Callable[[date, date], Any]]] = {
    "on or after": (1, lambda today, other: today >= other),
    "before": (1, lambda today, other: today < other),
    "after": (1, lambda today, other: today > other),
    "on or before": (1, lambda today, other: today <= other),
    "on": (2, lambda today, other: today == other),
    "not on": (2, lambda today, other: today != other),
    "year": (2, lambda today, _: today.year),
}
"""Uses of the day, each with the most questions that it records."""
EXACT: dict[str, Callable[[date, date], Any]] = {
    "month": lambda today, _: today.month,
    "day of the month": lambda today, _: today.day,
    "day of the week": lambda today, _: today.weekday(),
    "as ISO 8601": lambda today, _: today.isoformat(),
    "as text": lambda today, _: str(today),
    "formatted": lambda today, _: f"{today:%d.%m.%Y}",
    "hash": lambda today, _: hash(today),
    "ordinal": lambda today, _: today.toordinal(),
    "days since": lambda today, other: today - other,
    "a week later": lambda today, _: today + timedelta(7),
    "first of its month": lambda today, _: today.replace(day=1),
}
USES = {**NARROW, **{name: (2, use) for name, use in EXACT.items()}}


@pytest.mark.parametrize("name", USES)
def test_an_answer_is_that_of_a_date_and_holds_while_the_recorded_questions_have_their_answers(name: str):
    most, use = USES[name]
    dice = Random(name)
    for _ in range(100):
        today = date(2025, 12, 1) + timedelta(dice.randint(0, 800))
        other = today + timedelta(dice.choice((0, 0, 1, -1, dice.randint(-500, 500))))
        asked: list[tuple[date, bool]] = []
        answer = use(TrackedDay(today, lambda day, is_after, asked=asked: asked.append((day, is_after))), other)  # type: ignore[misc]
        assert answer == use(today, other)
        assert 1 <= len({*asked}) <= most
        for days in (*range(-3, 4), *range(-420, 421, 30)):
            then = today + timedelta(days)
            if all((then >= day) is is_after for day, is_after in asked):
                assert use(then, other) == answer, (today, then, other)


def test_what_does_not_depend_on_the_day_records_nothing():
    asked: list[date] = []
    tracked = TrackedDay(date(2026, 11, 21), lambda day, _: asked.append(day))
    assert (untracked(tracked), type(untracked(tracked))) == (date(2026, 11, 21), date)
    assert asked == []
    assert type(exactly(tracked)) is date
    assert asked == [date(2026, 11, 21), date(2026, 11, 22)]
    assert exactly(date(2026, 11, 21)) == date(2026, 11, 21)


def test_nothing_is_after_the_last_day_that_there_is():
    assert not TrackedDay(date(2026, 11, 21), lambda *_: None) > date.max
