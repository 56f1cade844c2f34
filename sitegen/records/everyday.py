"""Everyday ways of writing a value, converted to the record's form where only one reading is possible.

`$6,495` is an amount, `3 inches` is 3 in, `gas` is gasoline, and `right rear, wheel arch` is a station and a part.
A date in another form is rejected, because 10/4 is October 4 to some readers and April 10 to others; the error
message then suggests the ISO 8601 form.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from pydantic_core import PydanticCustomError

UNIT_WORDS = {
    "inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "mile": "mi", "miles": "mi",
    "millimeter": "mm", "millimeters": "mm", "millimetre": "mm", "millimetres": "mm",
    "centimeter": "cm", "centimeters": "cm", "centimetre": "cm", "centimetres": "cm",
    "meter": "m", "meters": "m", "metre": "m", "metres": "m",
    "kilometer": "km", "kilometers": "km", "kilometre": "km", "kilometres": "km",
    "volt": "V", "volts": "V", "mils": "mil", "micron": "µm", "microns": "µm", "percent": "%",
}  # fmt: skip
"""Unit names written out, mapped to the symbols that the record uses."""

_AMOUNT = re.compile(r"\$? ?(\d{1,3}(?:,\d{3})+|\d+)(\.\d{1,2})?", re.ASCII)
AMOUNT_PATTERN = r"^\$? ?([0-9]{1,3}(,[0-9]{3}){1,2}|[0-9]{1,7})(\.[0-9]{1,2})?$"
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def read_amount(written: Any) -> Any:
    """Return an amount of money as a Decimal: `$6,495` is 6495, because a comma before three digits groups thousands.

    A value that is neither text nor a number is returned unchanged, for the next validator to reject.
    Raises PydanticCustomError for text that is not an amount, or that has two readings (6.495).
    """
    if isinstance(written, str):
        match = _AMOUNT.fullmatch(written.strip())
        if match is None:
            raise PydanticCustomError("decimal_parsing", "expected an amount of money")
        return Decimal(match[1].replace(",", "") + (match[2] or ""))
    is_number = isinstance(written, int | float) and not isinstance(written, bool)
    return Decimal(str(written)) if is_number else written


def iso_days(written: str) -> tuple[str, ...]:
    """Return the ISO 8601 dates or months that a date in another form can mean, month-first reading before day-first.

    `10/4/2026` gives 2026-10-04 and 2026-04-10; `10/14/2026` and `October 14, 2026` give only 2026-10-14.
    """
    days = [day for year, month, day_ in _read_days(written.strip()) if (day := _iso(year, month, day_))]
    return tuple(dict.fromkeys(days))


def rewritten(written: str, *, to_the_day: bool = False) -> str | None:
    """Return the advice that rewrites a date in ISO 8601 form, naming both readings if there are two.

    Returns None if the text is not a date. With `to_the_day`, a month without a day does not count as a date.
    """
    days = [day for day in iso_days(written) if len(day) == len("2026-10-04") or not to_the_day]
    return f"write {' or '.join(days)}{', whichever is meant' if len(days) > 1 else ''}" if days else None


def _read_days(text: str) -> Iterator[tuple[int, int, int | None]]:
    """Yield each possible reading of a date as year, month and day. The day is None if only a month is given."""
    if match := re.fullmatch(r"(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})", text, re.ASCII):
        yield int(match[1]), int(match[2]), int(match[3])
    elif match := re.fullmatch(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})", text, re.ASCII):
        year = int(match[3]) + (2000 if len(match[3]) == 2 else 0)
        yield year, int(match[1]), int(match[2])
        yield year, int(match[2]), int(match[1])
    elif match := re.fullmatch(r"(\d{1,2})[-/. ](\d{4})|(\d{4})[-/. ](\d{1,2})", text, re.ASCII):
        yield int(match[2] or match[3]), int(match[1] or match[4]), None
    elif match := re.fullmatch(r"([a-z]{3,9})\.? (?:(\d{1,2})(?:st|nd|rd|th)?,? )?(\d{4})", text, re.ASCII | re.I):
        yield int(match[3]), _month(match[1]), int(match[2]) if match[2] else None
    elif match := re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)? ([a-z]{3,9})\.?,? (\d{4})", text, re.ASCII | re.I):
        yield int(match[3]), _month(match[2]), int(match[1])


def _month(name: str) -> int:
    """Return the number of a month from its English name or abbreviation, or 0 if the name is unknown."""
    beginning = name[:3].casefold()
    return _MONTHS.index(beginning) + 1 if beginning in _MONTHS else 0


def _iso(year: int, month: int, day: int | None) -> str | None:
    """Return a date or month in ISO 8601 form, or None if the calendar has no such day."""
    try:
        whole = date(year, month, day or 1).isoformat()
    except ValueError:
        return None
    return whole if day is not None else whole[:7]
