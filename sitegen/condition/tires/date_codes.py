"""Parse the date code at the end of a tire identification number (49 CFR 574.5(b)(3), 64 FR 36807).

Since July 2000 it has four digits: week and year. Earlier codes have three: week and last digit of the year, without
the decade. Weeks are taken as ISO weeks. The rule counts full calendar weeks, so a week either way is allowed.
"""

from __future__ import annotations

from datetime import date, timedelta
from enum import StrEnum

from sitegen.condition.basis.findings import MadeIn

_LAST_WEEK = 53


class CodeFault(StrEnum):
    """The reason why a date code cannot be right."""

    IMPOSSIBLE_WEEK = "impossible week"
    IN_THE_FUTURE = "in the future"


def made_in(code: str, as_of: date) -> MadeIn | CodeFault:
    """Return when a tire with this date code of three or four digits was made.

    2318 is week 23 of 2018, which begins on June 4. 5199 can only be 1999: some makers used four digits early. 409 is
    week 40 of 1999 or ten, twenty... years before.
    """
    week = int(code[:2])
    if not 1 <= week <= _LAST_WEEK:
        return CodeFault.IMPOSSIBLE_WEEK
    if len(code) == 3:
        return MadeIn(None, None, _monday(1990 + int(code[2]), week) + timedelta(days=13), week)
    year = 1999 if code[2:] == "99" else 2000 + int(code[2:])
    monday = _monday(year, week)
    if monday > as_of:
        return CodeFault.IN_THE_FUTURE
    return MadeIn(monday, monday - timedelta(days=7), min(monday + timedelta(days=13), as_of), week)


def _monday(year: int, week: int) -> date:
    return date.fromisocalendar(year, 1, 1) + timedelta(weeks=week - 1)
