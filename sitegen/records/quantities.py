"""Measured quantities: exact amounts that keep their unit and the text they were written as.

Each kind of quantity is a class of its own, so a depth cannot be compared with a distance. Amounts are exact
fractions of one base unit: 2/32 in is exactly 1.5875 mm, not 1.6 mm. Conversion factors: NIST SP 811, Appendix B.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import Any, ClassVar, Self

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import core_schema

from sitegen.records.base import input_error
from sitegen.records.everyday import UNIT_WORDS

MILLIMETRES_PER_INCH = Fraction("25.4")
METRES_PER_MILE = Fraction("1609.344")

_CACHE_SIZE = 1 << 14
"""Size of the cache of parsed quantities. Records repeat the same few texts."""

# A thousands separator is a comma or a space, followed by groups of exactly three digits: 88,900 and 143 000.
_WRITTEN = re.compile(
    r"(?P<number>\d{1,3}(?:[,\u00a0\u202f ]\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)"
    r"(?:/(?P<parts>\d+))?"
    r"[\u00a0\u202f ]*(?P<unit>[^\d\s.,/].*)?",
    re.ASCII,
)


@dataclass(frozen=True, order=True)
class Quantity:
    """An exact amount in a base unit, and the text it was written as. Each subclass defines its units and limits.

    Equality and order compare the amount only, not the text.
    """

    amount: Fraction
    written: str = field(compare=False)

    units: ClassVar[Mapping[str, Fraction]] = {}
    expected: ClassVar[str] = ""
    example: ClassVar[str] = ""
    parts: ClassVar[str] = ""
    """Regular expression of a slash and denominator after the number, such as `(/32)?`. Empty if none is allowed."""
    unit_of_parts: ClassVar[Mapping[str, str]] = {}
    """Unit implied by a denominator when no unit is written: `6/32` means inches."""
    largest: ClassVar[Fraction]
    """Largest plausible amount in the base unit (common practice). A larger one most likely has the wrong unit."""

    @classmethod
    def parse(cls, text: str) -> Self:
        """Parse a number with its unit, such as `7/32 in` or `88,900 mi`.

        Raises PydanticCustomError with the expected form and how to correct the text.
        """
        match = _WRITTEN.fullmatch(text.strip())
        if match is None:
            raise input_error(cls.expected, cls._mend_unreadable(text))
        unit = (match["unit"] or "").strip() or cls.unit_of_parts.get(match["parts"] or "", "")
        if not unit:
            raise input_error(cls.expected, f"write the unit after the number, for example {cls.example}")
        unit = unit if unit in cls.units else UNIT_WORDS.get(unit.casefold(), unit)
        if unit not in cls.units:
            unit_list = " or ".join(cls.units)
            raise input_error(cls.expected, f'write {unit_list} in place of "{unit}"')
        number = Fraction(re.sub(r"[,\u00a0\u202f ]", "", match["number"]))
        if match["parts"] is not None:
            number = cls._divide(number, int(match["parts"]), unit)
        amount = number * cls.units[unit]
        if amount > cls.largest:
            raise input_error(cls.expected, "check the number and its unit, for this is more than is plausible")
        figure = match["number"] + (f"/{match['parts']}" if match["parts"] else "")
        return cls(amount, text.strip() if match["unit"] == unit else f"{figure} {unit}")

    @classmethod
    def _divide(cls, number: Fraction, parts: int, unit: str) -> Fraction:
        raise input_error(cls.expected, f"write {unit} without a slash")

    @classmethod
    def _mend_unreadable(cls, text: str) -> str:
        if re.search(r"\d,\d{1,2}(?!\d)", text):
            return "write the decimal with a point, for example 5.6"
        return f"write a number and its unit, for example {cls.example}"

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return a schema that parses text. A bare number is an error, since its unit would be a guess."""

        def read(value: Any) -> Quantity:
            if isinstance(value, cls):
                return value
            if not isinstance(value, str):
                mend = f"write the unit after the number, for example {cls.example}"
                raise input_error(cls.expected, mend)
            return _parsed(cls.parse, value)

        return core_schema.no_info_plain_validator_function(
            read,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda quantity: quantity.written),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the JSON Schema of the text form, so that an editor can complete and check it."""
        number = r"([0-9]{1,3}([,\u00a0\u202f ][0-9]{3})+(\.[0-9]+)?|[0-9]+(\.[0-9]+)?|\.[0-9]+)"
        words = [word for word, unit in UNIT_WORDS.items() if unit in cls.units]
        units = "|".join(re.escape(unit) for unit in (*cls.units, *words))
        alone = "".join(f"|{number}/{parts}" for parts in cls.unit_of_parts)
        return {
            "type": "string",
            "description": cls.expected,
            "examples": [cls.example],
            "pattern": f"^({number}{cls.parts}[\\u00a0\\u202f ]*({units}){alone})$",
        }


@lru_cache(_CACHE_SIZE)
def _parsed(parse: Callable[[str], Quantity], text: str) -> Quantity:
    return parse(text)


_LENGTHS = {"mm": Fraction(1), "in": MILLIMETRES_PER_INCH}


@dataclass(frozen=True, order=True)
class Depth(Quantity):
    """A tread depth, or the thickness of a lining, rotor or drum, in exact millimetres."""

    units: ClassVar[Mapping[str, Fraction]] = _LENGTHS
    expected: ClassVar[str] = "thirty-seconds of an inch (7/32 in) or millimeters (5.6 mm)"
    example: ClassVar[str] = "7/32 in"
    parts: ClassVar[str] = "(/32)?"
    unit_of_parts: ClassVar[Mapping[str, str]] = {"32": "in"}
    largest: ClassVar[Fraction] = Fraction(600)

    @property
    def millimetres(self) -> Fraction:
        """The depth in millimetres, exactly."""
        return self.amount

    @property
    def thirty_seconds(self) -> Fraction:
        """The depth in 32nds of an inch, exactly: 5.6 mm is 7.055..."""
        return self.amount / MILLIMETRES_PER_INCH * 32

    @classmethod
    def of_millimetres(cls, millimetres: Fraction) -> Depth:
        """Return a computed depth. Pages format the figure themselves and do not show its `written` text."""
        return cls(millimetres, f"{float(millimetres):g} mm")

    @classmethod
    def _divide(cls, number: Fraction, parts: int, unit: str) -> Fraction:
        if unit != "in" or parts != 32:
            number_text = f"{float(number):g}"
            mend = f"did you mean {number_text}/32 in? The number after the slash is always 32"
            raise input_error(cls.expected, mend)
        return number / 32


@dataclass(frozen=True, order=True)
class Length(Quantity):
    """The size of something visible, such as a scratch, in exact millimetres."""

    units: ClassVar[Mapping[str, Fraction]] = {
        **_LENGTHS,
        "cm": Fraction(10),
        "m": Fraction(1000),
        "ft": 12 * MILLIMETRES_PER_INCH,
    }
    expected: ClassVar[str] = "a length with its unit (28 mm, 12 cm, 3/4 in)"
    example: ClassVar[str] = "28 mm"
    parts: ClassVar[str] = "(/(2|4|8|16|32|64))?"
    largest: ClassVar[Fraction] = Fraction(20_000)

    @property
    def millimetres(self) -> Fraction:
        """The length in millimetres, exactly."""
        return self.amount

    @classmethod
    def _divide(cls, number: Fraction, parts: int, unit: str) -> Fraction:
        if parts not in (2, 4, 8, 16, 32, 64):
            raise input_error(cls.expected, "write halves, quarters, eighths and so on of an inch, such as 3/4 in")
        return number / parts


@dataclass(frozen=True, order=True)
class Distance(Quantity):
    """A distance driven, in exact metres."""

    units: ClassVar[Mapping[str, Fraction]] = {"mi": METRES_PER_MILE, "km": Fraction(1000)}
    expected: ClassVar[str] = "miles (88,900 mi) or kilometers (143,000 km)"
    example: ClassVar[str] = "88,900 mi"
    largest: ClassVar[Fraction] = 999_999 * METRES_PER_MILE

    @property
    def metres(self) -> Fraction:
        """The distance in metres, exactly."""
        return self.amount

    @property
    def miles(self) -> Fraction:
        """The distance in statute miles, exactly."""
        return self.amount / METRES_PER_MILE

    @property
    def kilometres(self) -> Fraction:
        """The distance in kilometres, exactly."""
        return self.amount / 1000

    @classmethod
    def of_miles(cls, miles: Fraction | int) -> Distance:
        """Return a computed distance. Its `written` text is empty."""
        return cls(Fraction(miles) * METRES_PER_MILE, "")


@dataclass(frozen=True, order=True)
class CrankingCurrent(Quantity):
    """Cold cranking amperes of a 12 V battery (SAE J537: 30 s at 0 °F, at least 7.2 V)."""

    units: ClassVar[Mapping[str, Fraction]] = {"CCA": Fraction(1)}
    expected: ClassVar[str] = "cold cranking amperes (540 CCA), not the larger figure CA that is taken at 32 °F"
    example: ClassVar[str] = "540 CCA"
    largest: ClassVar[Fraction] = Fraction(2_000)


@dataclass(frozen=True, order=True)
class Voltage(Quantity):
    """A voltage, in volts."""

    units: ClassVar[Mapping[str, Fraction]] = {"V": Fraction(1)}
    expected: ClassVar[str] = "volts (12.6 V)"
    example: ClassVar[str] = "12.6 V"
    largest: ClassVar[Fraction] = Fraction(1_000)


@dataclass(frozen=True, order=True)
class Energy(Quantity):
    """Energy held by a traction battery, in kilowatt-hours."""

    units: ClassVar[Mapping[str, Fraction]] = {"kWh": Fraction(1)}
    expected: ClassVar[str] = "kilowatt-hours (58 kWh)"
    example: ClassVar[str] = "58 kWh"
    largest: ClassVar[Fraction] = Fraction(400)


@dataclass(frozen=True, order=True)
class Pressure(Quantity):
    """A tire pressure, in kilopascals."""

    units: ClassVar[Mapping[str, Fraction]] = {
        "psi": Fraction("6.894757293168361"),
        "kPa": Fraction(1),
        "bar": Fraction(100),
    }
    expected: ClassVar[str] = "a pressure with its unit (35 psi, 240 kPa, 2.4 bar)"
    example: ClassVar[str] = "35 psi"
    largest: ClassVar[Fraction] = Fraction(900)


@dataclass(frozen=True, order=True)
class FilmThickness(Quantity):
    """Thickness of a paint film, in micrometres."""

    units: ClassVar[Mapping[str, Fraction]] = {
        "µm": Fraction(1),
        "μm": Fraction(1),
        "um": Fraction(1),
        "mil": Fraction("25.4"),
        "thou": Fraction("25.4"),
    }
    expected: ClassVar[str] = "a paint thickness with its unit (120 µm, 4.7 mil)"
    example: ClassVar[str] = "120 µm"
    largest: ClassVar[Fraction] = Fraction(5_000)


@dataclass(frozen=True, order=True)
class Share(Quantity):
    """A share of a whole, from 0 to 1, written in percent."""

    units: ClassVar[Mapping[str, Fraction]] = {"%": Fraction(1, 100)}
    expected: ClassVar[str] = "a percentage (91 %)"
    example: ClassVar[str] = "91 %"
    largest: ClassVar[Fraction] = Fraction(12, 10)


class AreaShare(Share):
    """A share of an area, at most 100 %."""

    largest: ClassVar[Fraction] = Fraction(1)


@dataclass(frozen=True, order=True)
class Temperature(Quantity):
    """A temperature in degrees Celsius. It may be negative: strong coolant freezes at -34 °F."""

    units: ClassVar[Mapping[str, Fraction]] = {"°C": Fraction(1), "°F": Fraction(5, 9)}
    expected: ClassVar[str] = "a temperature with its unit (-37 °C, -34 °F)"
    example: ClassVar[str] = "-34 °F"
    largest: ClassVar[Fraction] = Fraction(400)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Parse a temperature such as `-34 °F` and convert it to degrees Celsius. Raises PydanticCustomError."""
        stripped = text.strip()
        below_zero = stripped.startswith(("-", "−"))
        size = super().parse(stripped.lstrip("-−"))
        amount = -size.amount if below_zero else size.amount
        if stripped.endswith("F"):
            amount -= Fraction(160, 9)
        return cls(amount, stripped)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Return the JSON Schema of the text form, with an optional minus sign."""
        described = super().__get_pydantic_json_schema__(schema, handler)
        return {**described, "pattern": described["pattern"].replace("^", "^[-−]?", 1)}
