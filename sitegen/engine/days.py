"""The current day with tracked comparisons: each is recorded and limits how long a result is valid."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any, Self

Record = Callable[[date, bool], object]
"""Receives a day, and whether the current day is on or after it."""


class TrackedDay(date):
    """The current day. A comparison records one question; any other use records the exact day."""

    _record: Record

    def __new__(cls, today: date, record: Record) -> Self:
        """Return the day as a tracked one."""
        tracked = super().__new__(cls, *today.timetuple()[:3])
        tracked._record = record
        return tracked

    def is_on_or_after(self, day: date) -> bool:
        """Return whether the current day is this day or a later one."""
        answer = date.__ge__(self, day)
        self._record(day, answer)
        return answer

    def __ge__(self, day: date) -> bool:
        return self.is_on_or_after(day)

    def __lt__(self, day: date) -> bool:
        return not self.is_on_or_after(day)

    def __gt__(self, day: date) -> bool:
        return self.is_on_or_after(day + timedelta(1)) if day < date.max else False

    def __le__(self, day: date) -> bool:
        return not self > day

    def __eq__(self, other: object) -> bool:
        return isinstance(other, date) and self >= other and self <= other

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(exactly(self))

    @property
    def year(self) -> int:
        """The year; the answer holds until it ends."""
        year = date.timetuple(self)[0]
        self.is_on_or_after(date(year, 1, 1))
        self.is_on_or_after(date(year + 1, 1, 1))
        return year


def exactly(day: date) -> date:
    """Return the day as a plain date. For a tracked day, record the exact day."""
    plain = untracked(day)
    if isinstance(day, TrackedDay):
        day.is_on_or_after(plain)
        day.is_on_or_after(plain + timedelta(1))
    return plain


def untracked(day: date) -> date:
    """Return a plain date without recording anything, for code whose result does not depend on the day."""
    return date(*date.timetuple(day)[:3])


def _exact(name: str) -> Any:
    def use(self: TrackedDay, *arguments: Any, **named: Any) -> Any:
        return getattr(exactly(self), name)(*arguments, **named)

    return use


def _exact_property(name: str) -> Any:
    return property(lambda self: getattr(exactly(self), name))


_OWN = {*vars(TrackedDay), *vars(object)} - {"__str__", "__repr__", "__format__", "__reduce__", "__reduce_ex__"}
for _name in set(dir(date)) - _OWN - {"min", "max", "resolution"}:
    if not callable(getattr(date, _name)):  # month and day
        setattr(TrackedDay, _name, _exact_property(_name))
    elif _name not in ("fromisoformat", "fromisocalendar", "fromordinal", "fromtimestamp", "today"):
        setattr(TrackedDay, _name, _exact(_name))
