"""VIN: length, check digit, model-year letter. Source: 49 CFR 565.15; the fixed length came with model year 1981."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.validation.did_you_mean import listed
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Region
from sitegen.records.vin import LENGTH, check_digit, model_years

_FIRST_YEAR_OF_FIXED_LENGTH = 1981
_LIGHT_VEHICLE_POUNDS = 10_000
"""Gross weight up to which position 7 tells the cycle of the model year (565.15(b))."""


def check_vin(sheet: Sheet) -> Iterator[Problem]:
    """Yield what does not fit. Outside the United States a check digit is optional, so a wrong one is a warning."""
    vin, year = sheet.record.vin, sheet.record.vehicle.year
    if year < _FIRST_YEAR_OF_FIXED_LENGTH:
        return
    if len(vin) != LENGTH:
        expected = f"{LENGTH} characters, as on every vehicle since model year {_FIRST_YEAR_OF_FIXED_LENGTH}"
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
