"""Opening hours are read from everyday forms, and shown in the words of each language."""

from __future__ import annotations

from datetime import time

import pytest
from pydantic import ValidationError

from sitegen.pages.composing import translator_for
from sitegen.pages.frame.frame import contact
from sitegen.reading.reference.figures import read_figures
from sitegen.records.trip.hours import OpeningHours, WeekDay
from sitegen.shared_data import content_folder
from tests.builders import some_settings


@pytest.mark.parametrize("written", ["9:00-18:00", "9 a.m. to 6 p.m.", "9am - 6 PM", "09:00–18:00"])
def test_times_of_day_are_read_from_everyday_forms(written: str):
    (period,) = OpeningHours(days="monday to friday", hours=written).hours.periods
    assert (period.opens, period.closes) == (time(9), time(18))


def test_noon_and_midnight_are_read_as_people_write_them():
    (period,) = OpeningHours(days="sunday", hours="12 a.m. to 12:30 p.m.").hours.periods
    assert (period.opens, period.closes) == (time(0), time(12, 30))


@pytest.mark.parametrize(
    ("written", "days"),
    [("monday-friday", 5), ("Monday to Sunday", 7), ("saturday", 1), ("saturday-monday", 3)],
)
def test_days_are_read_from_the_first_to_the_last(written: str, days: int):
    assert len(OpeningHours(days=written, hours="closed").days) == days


def test_days_may_run_over_the_end_of_the_week():
    """The week of ISO 8601 ends on Sunday."""
    days = OpeningHours(days="saturday-monday", hours="closed").days
    assert days == (WeekDay.SATURDAY, WeekDay.SUNDAY, WeekDay.MONDAY)


# 9-6 may mean two things; the others are no times, or run backward, or overlap.
@pytest.mark.parametrize(
    "written", ["9-6", "25:00-26:00", "13 p.m. to 2 p.m.", "18:00-9:00", "9:00-13:00, 12:00-18:00", ""]
)
def test_times_that_can_be_misread_are_refused(written: str):
    with pytest.raises(ValidationError, match="times of day"):
        OpeningHours(days="monday", hours=written)


@pytest.mark.parametrize("written", ["mon-fri", "Lunes a viernes", "every day"])
def test_days_in_other_words_are_refused(written: str):
    with pytest.raises(ValidationError, match="days of the week"):
        OpeningHours(days=written, hours="closed")


def test_a_day_stands_once():
    twice = [{"days": "monday-friday", "hours": "9:00-12:00"}, {"days": "friday", "hours": "closed"}]
    with pytest.raises(ValidationError, match="friday stands twice"):
        some_settings(hours=twice)


# CLDR's short times through Babel: en-US and es-US write a clock of 12 hours.
@pytest.mark.parametrize(
    ("language", "lines"),
    [
        ("en", [("Monday to Friday", "9 AM to 12:30 PM and 1 PM to 6 PM"), ("Sunday", "closed")]),
        ("es", [("Lunes a viernes", "de 9 a.m. a 12:30 p.m. y de 1 p.m. a 6 p.m."), ("Domingo", "cerrado")]),
    ],
)
def test_opening_hours_are_told_in_each_language(language: str, lines: list[tuple[str, str]]):
    written = [{"days": "monday-friday", "hours": "9:00-12:30, 13:00-18:00"}, {"days": "sunday", "hours": "closed"}]
    settings = some_settings(hours=written)
    shown = contact(settings, translator_for(language, settings, read_figures(content_folder(), "us"))).hours
    assert [(days, hours.replace("\u00a0", " ")) for days, hours in shown] == lines
