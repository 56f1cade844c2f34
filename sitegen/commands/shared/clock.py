"""The moment of a build, and dates at the store. One moment serves the whole build, so that all its pages agree."""

from __future__ import annotations

import os
from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo


class UsageError(Exception):
    """The arguments or the environment of a command are wrong. The message is for the person at the terminal."""


FARTHEST_EAST = timezone(timedelta(hours=14))


def moment_of_build(environment: Mapping[str, str] = os.environ) -> datetime:
    """Return the moment of this build: SOURCE_DATE_EPOCH if that is set, else the current time.

    Source: the SOURCE_DATE_EPOCH specification, https://reproducible-builds.org/specs/source-date-epoch/ (seconds
    since 1970-01-01 UTC, as a whole number). Raises UsageError for anything else.
    """
    text = environment.get("SOURCE_DATE_EPOCH", "")
    if not text:
        return datetime.now(UTC)
    if not text.isascii() or not text.isdecimal():
        raise UsageError(f"SOURCE_DATE_EPOCH should be whole seconds since 1970, but is {text!r}")
    try:
        return datetime.fromtimestamp(int(text), UTC)
    except (ValueError, OverflowError, OSError):  # systems differ in which of these they raise
        raise UsageError(f"SOURCE_DATE_EPOCH should be seconds since 1970, but {text} is too many") from None


def day_at_store(moment: datetime, time_zone: str) -> date:
    """Return the date at the store at a moment."""
    return moment.astimezone(ZoneInfo(time_zone)).date()


def latest_day_anywhere(moment: datetime) -> date:
    """Return the latest date that any time zone has at a moment. A later date is in the future everywhere."""
    return moment.astimezone(FARTHEST_EAST).date()


def beginning_of(day: date, zone: tzinfo) -> datetime:
    """Return the moment at which a day begins in a time zone. For `date.max`, return the latest moment."""
    if day == date.max:
        return datetime.max.replace(tzinfo=UTC)
    return datetime.combine(day, time(), zone).astimezone(UTC)
