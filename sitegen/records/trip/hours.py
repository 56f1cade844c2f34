"""Opening hours as days of the week and times of day, read from everyday forms."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time
from enum import StrEnum
from itertools import pairwise
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import core_schema

from sitegen.records.base import Record, input_error


class WeekDay(StrEnum):
    """A day of the week. The order is that of ISO 8601."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"


_WEEK = tuple(WeekDay)
_BETWEEN = r"\s*(?:[-–]|\bto\b)\s*"
_DAYS = rf"(?P<first>[a-z]+)(?:{_BETWEEN}(?P<last>[a-z]+))?"
_CLOCK = r"(\d{1,2})(?::(\d{2}))?\s*([ap])?\.?(?:m\.?)?"
_TIMES = re.compile(rf"{_CLOCK}{_BETWEEN}{_CLOCK}", re.ASCII | re.I)


def _read_days(value: Any) -> Any:
    """Return the days of `monday-friday`, `monday to friday` or `saturday`; another type is returned unchanged."""
    if not isinstance(value, str):
        return value
    match = re.fullmatch(_DAYS, value.strip().lower())
    names = [name for name in (match["first"], match["last"]) if name] if match else []
    if not names or not set(names) <= set(_WEEK):
        raise input_error(
            "days of the week (monday-friday, or saturday)",
            "write the English names in full, from the first to the last",
        )
    first, last = (_WEEK.index(WeekDay(name)) for name in (names[0], names[-1]))
    return tuple(_WEEK[place % len(_WEEK)] for place in range(first, last + 1 + (len(_WEEK) if last < first else 0)))


WeekDays = Annotated[
    tuple[WeekDay, ...],
    BeforeValidator(_read_days),
    WithJsonSchema({"type": "string", "description": "days of the week (monday-friday, or saturday)"}),
]


@dataclass(frozen=True)
class OpenTime:
    """One period of a day, in the store's local time."""

    opens: time
    closes: time

    def __str__(self) -> str:
        return f"{self.opens:%H:%M}-{self.closes:%H:%M}"


@dataclass(frozen=True)
class OpenTimes:
    """The periods of a day during which the store is open, in order. Without any it is closed."""

    periods: tuple[OpenTime, ...] = ()

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that parses `9:00-18:00`, `9 a.m. to 6 p.m.`, several of them, or `closed`."""
        return core_schema.no_info_plain_validator_function(
            _read_times,
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda times: ", ".join(map(str, times.periods)) or "closed"
            ),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the JSON Schema of the written form."""
        return {"type": "string", "description": "times of day (9:00-18:00), several with a comma between, or closed"}


def _read_times(value: Any) -> OpenTimes:
    if isinstance(value, OpenTimes):
        return value
    text = value.strip() if isinstance(value, str) else ""
    if text.lower() == "closed":
        return OpenTimes()
    matches = [_TIMES.fullmatch(part.strip()) for part in text.split(",")]
    periods = [period for match in matches if match and (period := _period(match.groups()))]
    rises = all(one.closes <= other.opens for one, other in pairwise(periods))
    if not text or len(periods) < len(matches) or not rises:
        raise input_error(
            "times of day (9:00-18:00), several with a comma between, or closed",
            "write when you open, a hyphen, and when you close; the page puts them into each language",
        )
    return OpenTimes(tuple(periods))


def _period(parts: Sequence[str | None]) -> OpenTime | None:
    """Return the period of two clock times, each as hour, minute and half of the day. None if there is none."""
    opens, closes = _clock(*parts[:3]), _clock(*parts[3:])
    return OpenTime(opens, closes) if opens and closes and opens < closes else None


def _clock(hour: str | None, minute: str | None, half: str | None) -> time | None:
    """Return a time of day. An hour without minutes needs `a.m.` or `p.m.`, since 9-6 could mean two things."""
    if hour is None or (minute is None and half is None):
        return None
    hours, minutes = int(hour), int(minute or 0)
    if half is not None:
        if not 1 <= hours <= 12:
            return None
        hours = hours % 12 + (12 if half.lower() == "p" else 0)
    return time(hours, minutes) if hours < 24 and minutes < 60 else None


class OpeningHours(Record):
    """The opening hours of some days of the week."""

    days: WeekDays
    """Days of the week: monday-friday, or saturday."""
    hours: OpenTimes
    """Times of day in the store's time zone: 9:00-18:00, or closed."""


def _each_day_once(lines: tuple[OpeningHours, ...]) -> tuple[OpeningHours, ...]:
    days = [day for line in lines for day in line.days]
    if len(set(days)) < len(days):
        twice = next(day for day in days if days.count(day) > 1)
        raise input_error(
            f"each day once, but {twice} stands twice",
            "put both times on one line, with a comma: 9:00-12:00, 13:00-18:00",
        )
    return lines


Hours = Annotated[tuple[OpeningHours, ...], AfterValidator(_each_day_once)]
