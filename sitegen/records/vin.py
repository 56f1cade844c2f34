"""VIN arithmetic: permitted characters, check digit, model year. Source: 49 CFR 565.15(c), (d), Tables III to VII.

A correct check digit is no proof of a real VIN: seventeen equal digits also have one.
"""

from __future__ import annotations

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


def check_digit(vin: str) -> str:
    """Return the check digit that belongs at position 9: 0 to 9, or X for ten.

    1M8GDM9AXKP042788 adds up to 351 = 31 x 11 + 10, so X.

    Raises ValueError unless the VIN has 17 permitted characters.
    """
    if len(vin) != LENGTH or any(character not in PERMITTED for character in vin):
        raise ValueError("a VIN has 17 characters, none of them I, O or Q")
    remainder = sum(_VALUES[character] * weight for character, weight in zip(vin, _WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def model_years(vin: str, light_vehicle: bool = True) -> tuple[int, ...]:
    """Return the model years that position 10 can stand for; empty if its character is none of the 30 codes.

    For a light vehicle (10,000 lb or less) position 7 tells the cycle: a digit means 1980 to 2009, a letter 2010 to
    2039 (565.15(b), former 565.25(b)). Otherwise both cycles are returned.
    """
    place = _YEAR_CODES.find(vin[9])
    if place < 0:
        return ()
    if not light_vehicle:
        return (1980 + place, 2010 + place)
    return (1980 + place,) if vin[6].isdigit() else (2010 + place,)
