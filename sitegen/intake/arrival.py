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

from sitegen.reading.checks.vin import (
    FIRST_YEAR_OF_FIXED_LENGTH,
    LENGTH,
    PERMITTED,
    check_digit,
    model_years,
)


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
    """Return what was said as an arrival; what was not said is empty."""
    kept = {name: (said.get(name) or "").strip() for name in COLUMNS}
    return Arrival(**{**kept, "vin": kept["vin"].upper()})


def faults_of(arrival: Arrival) -> dict[str, str]:
    """Return, by column, what can be told to be wrong before a record is made of it. The reader tells the rest."""
    faults = {name: f"{name} is not given" for name in NEEDED if not getattr(arrival, name)}
    stock, vin, year = arrival.stock, arrival.vin, arrival.year
    if stock and (not re.fullmatch("[A-Za-z0-9]+(-[A-Za-z0-9]+)*", stock) or len(stock) > 40):
        faults["stock"] = f"the stock number {stock!r} should be letters and digits, with single hyphens"
    if year and not re.fullmatch("[0-9]{4}", year):
        faults["year"] = f"the year {year!r} should be four digits"
    is_of_fixed_length = "year" in faults or not year or int(year) >= FIRST_YEAR_OF_FIXED_LENGTH
    if vin and is_of_fixed_length and not _has_form(vin):
        faults["vin"] = f"the VIN {vin} should have 17 letters and digits, none of them I, O or Q"
    return faults


def year_of(arrival: Arrival) -> int | None:
    """Return the model year: as it was said, or as a VIN whose check digit is right tells it; else None."""
    if arrival.year:
        return int(arrival.year) if re.fullmatch("[0-9]{4}", arrival.year) else None
    vin = arrival.vin
    if not _has_form(vin) or vin[8] != check_digit(vin):
        return None
    return next(iter(model_years(vin)), None)


def _has_form(vin: str) -> bool:
    return len(vin) == LENGTH and all(character in PERMITTED for character in vin)


def read_table(text: str) -> tuple[list[tuple[int, Arrival]], list[str]]:
    """Return the arrivals of a table (RFC 4180, with our header), each with its line, and what is wrong in form."""
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
    return arrival_of(row)


def _problems_of_header(header: tuple[str, ...]) -> Iterator[str]:
    for name in header:
        if name not in COLUMNS:
            yield f"line 1: the column {name!r} is not one of {', '.join(COLUMNS)}"
    missing = [name for name in NEEDED if name not in header]
    if missing:
        yield f"line 1: no column {', '.join(missing)}"
    if len(set(header)) < len(header):
        yield "line 1: a column stands there twice"
