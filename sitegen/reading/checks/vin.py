"""Checks of the VIN: length, check digit, model-year letter. Source: 49 CFR 565.15(c), (d), Tables III to VII.

A correct check digit does not prove that a VIN is real: seventeen equal digits also have a correct one.
"""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.validation.did_you_mean import listed
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Region

LENGTH = 17
PERMITTED = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"

_VALUES = {str(digit): digit for digit in range(10)} | dict(
    zip(
        "ABCDEFGHJKLMNPRSTUVWXYZ",
        (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9),
        strict=True,
    )
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"

FIRST_YEAR_OF_FIXED_LENGTH = 1981
_LIGHT_VEHICLE_POUNDS = 10_000
"""Gross weight up to which position 7 selects the 30-year cycle of the model year (565.15(b))."""


def check_vin(sheet: Sheet) -> Iterator[Problem]:
    """Yield the problems of a VIN. A wrong check digit is an error in the United States, else a warning."""
    vin, year = sheet.record.vin, sheet.record.vehicle.year
    if year < FIRST_YEAR_OF_FIXED_LENGTH:
        return
    if len(vin) != LENGTH:
        expected = f"{LENGTH} characters, as on every vehicle since model year {FIRST_YEAR_OF_FIXED_LENGTH}"
        yield sheet.marks.problem(
            ("vin",), expected, "read it again from the dash or the title", found=f"{vin}, of {len(vin)} characters"
        )
        return
    severity = Severity.ERROR if sheet.standards.region is Region.UNITED_STATES else Severity.WARNING
    digit = check_digit(vin)
    if vin[8] != digit:
        mend = "compare each character with the dash or the title, for two may have changed places"
        found = f"{vin}, with {vin[8]} in ninth place"
        expected = f"the check digit {digit} in ninth place"
        yield sheet.marks.problem(("vin",), expected, mend, found=found, severity=severity)
    weight = sheet.record.vehicle.gross_weight_pounds
    years = model_years(vin, weight is None or weight <= _LIGHT_VEHICLE_POUNDS)
    if not years:
        mend = "read it again from the dash or the title"
        found = f"{vin}, with {vin[9]} in tenth place"
        expected = "a letter or figure for the model year in tenth place, never U, Z or 0"
        yield sheet.marks.problem(("vin",), expected, mend, found=found, severity=severity)
    elif year not in years:
        mend = "check the model year against the title, and the VIN's seventh and tenth characters"
        expected = f"{listed(map(str, years))}, for the VIN has {vin[9]} in tenth place"
        yield sheet.marks.problem(("vehicle", "year"), expected, mend, severity=severity)


def check_digit(vin: str) -> str:
    """Return the check digit for position 9: 0 to 9, or X for ten.

    The weighted sum of 1M8GDM9AXKP042788 is 351 = 31 x 11 + 10, so its check digit is X.

    Raises ValueError unless the VIN has 17 permitted characters.
    """
    if len(vin) != LENGTH or any(character not in PERMITTED for character in vin):
        raise ValueError("a VIN has 17 characters, none of them I, O or Q")
    remainder = sum(_VALUES[character] * weight for character, weight in zip(vin, _WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def model_years(vin: str, light_vehicle: bool = True) -> tuple[int, ...]:
    """Return the model years that position 10 can mean. Empty if its character is not a year code.

    In a light vehicle (10,000 lb or less) position 7 selects the cycle: a digit means 1980 to 2009, a letter 2010 to
    2039 (565.15(b), former 565.25(b)). For a heavier vehicle both years are returned.
    """
    place = _YEAR_CODES.find(vin[9])
    if place < 0:
        return ()
    if not light_vehicle:
        return (1980 + place, 2010 + place)
    return (1980 + place,) if vin[6].isdigit() else (2010 + place,)
