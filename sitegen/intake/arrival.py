"""The data entered when a vehicle arrives, and its first checks. Pure.

The columns of a table of vehicles (`arrival_table.py`) are the field names of `Arrival`. The model year is derived
from the VIN only if its tenth and seventh characters leave a single year (49 CFR 565.15).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from enum import StrEnum

from sitegen.reading.checks.vin import (
    FIRST_YEAR_OF_FIXED_LENGTH,
    LENGTH,
    PERMITTED,
    check_digit,
    model_years,
)
from sitegen.reading.validation.did_you_mean import plain_word
from sitegen.records.vehicle import Body, Drive, Fuel, PlainTerms, Status
from sitegen.records.vehicle_record import RESERVED


@dataclass(frozen=True)
class Arrival:
    """One arriving vehicle. All values are as entered."""

    stock: str
    vin: str
    odometer: str
    """Reading with its unit: 88,900 mi."""
    on: str
    """Day of the odometer reading and of the first look at the vehicle."""
    make: str
    model: str
    body: str
    drive: str
    fuel: str
    terms: str
    """Sale terms: as is, or implied warranties only."""
    year: str = ""
    """Model year. Required only if the VIN does not determine it."""
    photos: str = ""
    """Path of a folder or zip of photos."""
    price: str = ""
    """Asking price."""
    status: str = ""
    """Status at the store; without it, preparing."""


NEEDED = tuple(field.name for field in fields(Arrival) if field.default is MISSING)
COLUMNS = tuple(field.name for field in fields(Arrival))
_FIXED_WORDS: dict[str, type[StrEnum]] = {
    "body": Body,
    "drive": Drive,
    "fuel": Fuel,
    "terms": PlainTerms,
    "status": Status,
}


class ArrivalError(Exception):
    """A vehicle cannot be added. The message says why."""


def parse_arrival(entered: Mapping[str, str | None]) -> Arrival:
    """Return an arrival from entered values. Missing values become empty.

    A fixed word may be written in any case and with hyphens, as in `SUV` and `AS-IS`.
    """
    values = {name: (entered.get(name) or "").strip() for name in COLUMNS}
    for name, kind in _FIXED_WORDS.items():
        values[name] = as_fixed_word(values[name], kind)
    values["fuel"] = "gas" if values["fuel"].casefold() == "gas" else values["fuel"]
    return Arrival(**{**values, "vin": values["vin"].upper()})


def as_fixed_word(written: str, kind: type[StrEnum]) -> str:
    """Return the value of an enumeration that differs from a word only in case and hyphens; else the word."""
    return next((str(choice) for choice in kind if plain_word(choice) == plain_word(written)), written)


def format_errors(arrival: Arrival) -> dict[str, str]:
    """Return errors of form by column: missing or malformed values. Reading a trial record finds all others."""
    errors = {name: f"{name} is not given" for name in NEEDED if not getattr(arrival, name)}
    stock, vin, year = arrival.stock, arrival.vin, arrival.year
    if stock and (not re.fullmatch("[A-Za-z0-9]+(-[A-Za-z0-9]+)*", stock) or len(stock) > 40):
        errors["stock"] = f"the stock number {stock!r} should be letters and digits, with single hyphens"
    elif RESERVED.fullmatch(stock):
        errors["stock"] = f"the stock number {stock!r} is reserved by some systems: add a letter or a digit"
    if year and not re.fullmatch("[0-9]{4}", year):
        errors["year"] = f"the year {year!r} should be four digits"
    is_of_fixed_length = "year" in errors or not year or int(year) >= FIRST_YEAR_OF_FIXED_LENGTH
    if vin and is_of_fixed_length and not _has_form(vin):
        errors["vin"] = f"the VIN {vin} should have 17 letters and digits, none of them I, O or Q"
    return errors


def year_of(arrival: Arrival) -> int | None:
    """Return the model year as entered, or from a VIN with a correct check digit; else None."""
    if arrival.year:
        return int(arrival.year) if re.fullmatch("[0-9]{4}", arrival.year) else None
    vin = arrival.vin
    if not _has_form(vin) or vin[8] != check_digit(vin):
        return None
    return next(iter(model_years(vin)), None)


def _has_form(vin: str) -> bool:
    return len(vin) == LENGTH and all(character in PERMITTED for character in vin)
