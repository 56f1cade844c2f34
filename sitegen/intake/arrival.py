"""What somebody says of a vehicle as it comes in, and whether its VIN bears it out. Pure.

The columns of a table for many vehicles are our own: the names of the fields of `Arrival`. A model year is read off
the VIN only where its tenth character and its seventh leave one year (49 CFR 565.15).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any

from sitegen.reading.checks.vin import LENGTH, PERMITTED, check_digit, model_years


@dataclass(frozen=True)
class Arrival:
    """One vehicle that comes in, all as it was written."""

    stock: str
    vin: str
    odometer: str
    """With its unit: 88,900 mi."""
    on: str
    """The day on which the odometer was read and the vehicle was first looked at."""
    make: str
    model: str
    body: str
    drive: str
    fuel: str
    terms: str
    """Sale terms: as is, or implied warranties only."""
    year: str = ""
    """Needed only where the VIN leaves the model year open."""
    photos: str = ""
    """A folder, or a zip, of photos."""


NEEDED = tuple(field.name for field in fields(Arrival) if field.default is MISSING)
COLUMNS = tuple(field.name for field in fields(Arrival))


class ArrivalError(Exception):
    """Why a vehicle cannot be taken in, in words for the person."""


def arrival_of(said: Mapping[str, str | None]) -> Arrival:
    """Return what was said as an arrival. Raises ArrivalError that names all that is missing."""
    kept = {name: (said.get(name) or "").strip() for name in COLUMNS}
    missing = [name for name in NEEDED if not kept[name]]
    if missing:
        raise ArrivalError(f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} not given")
    if not re.fullmatch("[A-Za-z0-9]+(-[A-Za-z0-9]+)*", kept["stock"]) or len(kept["stock"]) > 40:
        raise ArrivalError(f"the stock number {kept['stock']!r} should be letters and digits, with single hyphens")
    return Arrival(**{**kept, "vin": kept["vin"].upper()})


def year_of(arrival: Arrival) -> int:
    """Return the model year: as it was said, or as the VIN tells it. Raises ArrivalError where neither does."""
    if arrival.year:
        if not re.fullmatch("[0-9]{4}", arrival.year):
            raise ArrivalError(f"the year {arrival.year!r} should be four digits")
        if int(arrival.year) < 1981:
            return int(arrival.year)  # no fixed form of the VIN before that
    vin = arrival.vin
    if len(vin) != LENGTH or any(character not in PERMITTED for character in vin):
        raise ArrivalError(f"the VIN {vin} should have 17 letters and digits, none of them I, O or Q")
    if vin[8] != check_digit(vin):
        raise ArrivalError(
            f"the VIN {vin} has {vin[8]} in ninth place, where its check digit is {check_digit(vin)}: read it again"
        )
    years = model_years(vin)
    if arrival.year:
        return int(arrival.year)
    if not years:
        raise ArrivalError(f"the VIN {vin} tells no model year: say it (year)")
    return years[0]


def read_table(text: str) -> tuple[list[tuple[int, Arrival]], list[str]]:
    """Return the arrivals of a table (RFC 4180, with our header), each with its line, and every problem of it."""
    reader = csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    arrivals: list[tuple[int, Arrival]] = []
    problems: list[str] = []
    try:
        header = tuple(reader.fieldnames or ())
        problems += _problems_of_header(header)
        for row in () if problems else reader:
            try:
                arrivals.append((reader.line_num, _arrival_of_row(row)))
            except ArrivalError as fault:
                problems.append(f"line {reader.line_num}: {fault}")
    except csv.Error as fault:
        problems.append(f"line {reader.line_num}: this is no table as RFC 4180 has it ({fault})")
    return arrivals, problems


def _arrival_of_row(row: dict[str | Any, str | Any]) -> Arrival:
    if None in row:
        raise ArrivalError("more fields than the header has; put a value with a comma in double quotes")
    if any(value is None for value in row.values()):
        raise ArrivalError("fewer fields than the header has")
    arrival = arrival_of(row)
    year_of(arrival)
    return arrival


def _problems_of_header(header: tuple[str, ...]) -> Iterator[str]:
    for name in header:
        if name not in COLUMNS:
            yield f"line 1: the column {name!r} is not one of {', '.join(COLUMNS)}"
    missing = [name for name in NEEDED if name not in header]
    if missing:
        yield f"line 1: no column {', '.join(missing)}"
    if len(set(header)) < len(header):
        yield "line 1: a column stands there twice"
