"""What people write in place of the record's own form, where it can be read in one way only.

`$6,495` is an amount, `3 inches` are 3 in, `gas` is gasoline, and `right rear, wheel arch` is a station and a part.
A day in another form is not taken, for 10/4 is April to some; but it can be told back as the record wants it.
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
"""Units written out, and the sign that stands for each in the record."""

_AMOUNT = re.compile(r"\$? ?(\d{1,3}(?:,\d{3})+|\d+)(\.\d{1,2})?", re.ASCII)
AMOUNT_PATTERN = r"^\$? ?([0-9]{1,3}(,[0-9]{3}){1,2}|[0-9]{1,7})(\.[0-9]{1,2})?$"
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def read_amount(written: Any) -> Any:
    """Return an amount of money: `$6,495` is 6495, for a comma with three digits after it parts thousands.

    Raises PydanticCustomError for a text that is no amount, or can be read in two ways (6.495).
    """
    if isinstance(written, str):
        match = _AMOUNT.fullmatch(written.strip())
        if match is None:
            raise PydanticCustomError("decimal_parsing", "expected an amount of money")
        return Decimal(match[1].replace(",", "") + (match[2] or ""))
    is_number = isinstance(written, int | float) and not isinstance(written, bool)
    return Decimal(str(written)) if is_number else written


def iso_days(written: str) -> tuple[str, ...]:
    """Return the days, or months, that a date in another form can mean, as ISO 8601 has them; the month first.

    `10/4/2026` can be 2026-10-04 or 2026-04-10; `10/14/2026` and `October 14, 2026` can only be 2026-10-14.
    """
    found = [day for year, month, day_ in _read_days(written.strip()) if (day := _iso(year, month, day_))]
    return tuple(dict.fromkeys(found))


def rewritten(written: str, *, to_the_day: bool = False) -> str | None:
    """Return how to mend a date in another form: theirs rewritten, or the two that it can be; else None."""
    days = [day for day in iso_days(written) if len(day) == len("2026-10-04") or not to_the_day]
    return f"write {' or '.join(days)}{', whichever is meant' if len(days) > 1 else ''}" if days else None


def _read_days(text: str) -> Iterator[tuple[int, int, int | None]]:
    """Yield year, month and day as they can be read; the day is None where only a month is told."""
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
    """Return the number of a month by its name in English, or 0."""
    beginning = name[:3].casefold()
    return _MONTHS.index(beginning) + 1 if beginning in _MONTHS else 0


def _iso(year: int, month: int, day: int | None) -> str | None:
    try:
        whole = date(year, month, day or 1).isoformat()
    except ValueError:
        return None
    return whole if day is not None else whole[:7]
