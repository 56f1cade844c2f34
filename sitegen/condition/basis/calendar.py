"""Months and years between dates, each with its own rounding."""

from __future__ import annotations

import calendar
from datetime import date
from fractions import Fraction


def add_months(day: date, months: int) -> date:
    """Return the same day of the month `months` later, or the last day of a shorter month."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def months_down(start: date, end: date) -> int:
    """Return the full months from start to end. If end is before start, the result is negative and rounded down."""
    months = (end.year - start.year) * 12 + end.month - start.month
    return months if add_months(start, months) <= end else months - 1


def months_up(start: date, end: date) -> int:
    """Return the months from start to end, with a partial month counted as one."""
    months = months_down(start, end)
    return months if add_months(start, months) >= end else months + 1


def whole_years(start: date, end: date) -> int:
    """Return the full years from start to end: June 4, 2018 to November 25, 2026 are 8."""
    return months_down(start, end) // 12


def years(start: date, end: date) -> Fraction:
    """Return the exact years from start to end, of 365.25 days each."""
    return Fraction((end - start).days * 4, 1461)
