"""Measured quantities: exact amounts that keep the unit and the words they were written with.

Each kind is a type of its own, so a depth cannot be compared with a distance. Amounts are exact fractions of one
base unit: 2/32 in is exactly 1.5875 mm, and must never be taken for 1.6 mm. Factors: NIST SP 811, Appendix B.
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
from pydantic_core import PydanticCustomError, core_schema

from sitegen.records.everyday import UNIT_WORDS

MILLIMETRES_PER_INCH = Fraction("25.4")
METRES_PER_MILE = Fraction("1609.344")

_READ_BEFORE = 1 << 14
"""How many quantities are kept by how they are written: the same few come back in record after record."""

# A thousands separator is a comma or a space, and then every group has three digits: 88,900 and 143 000.
_WRITTEN = re.compile(
    r"(?P<number>\d{1,3}(?:[,\u00a0\u202f ]\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)"
    r"(?:/(?P<parts>\d+))?"
    r"[\u00a0\u202f ]*(?P<unit>[^\d\s.,/].*)?",
    re.ASCII,
)


def quantity_error(expected: str, mend: str) -> PydanticCustomError:
    """Return the error that `reading` turns into a problem: what was expected, and how to mend it."""
    return PydanticCustomError("misread", "expected {expected}", {"expected": expected, "mend": mend})


@dataclass(frozen=True, order=True)
class Quantity:
    """An exact amount of one base unit, and how it was written. Subclasses say which unit."""

    amount: Fraction
    written: str = field(compare=False)

    units: ClassVar[Mapping[str, Fraction]] = {}
    expected: ClassVar[str] = ""
    example: ClassVar[str] = ""
    parts: ClassVar[str] = ""
    """Pattern of a slash and the parts of an inch after the number, where the kind may be written with them."""
    unit_of_parts: ClassVar[Mapping[str, str]] = {}
    """Parts after a slash that tell the unit by themselves, as 6/32 does."""
    largest: ClassVar[Fraction]
    """More than this is not plausible (common practice); the unit is most likely wrong."""

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read `7/32 in` or `88,900 mi`. Raises PydanticCustomError that says what was expected."""
        match = _WRITTEN.fullmatch(text.strip())
        if match is None:
            raise quantity_error(cls.expected, cls._mend_unreadable(text))
        unit = (match["unit"] or "").strip() or cls.unit_of_parts.get(match["parts"] or "", "")
        if not unit:
            raise quantity_error(cls.expected, f"write the unit after the number, for example {cls.example}")
        unit = unit if unit in cls.units else UNIT_WORDS.get(unit.casefold(), unit)
        if unit not in cls.units:
            known = " or ".join(cls.units)
            raise quantity_error(cls.expected, f'write {known} in place of "{unit}"')
        number = Fraction(re.sub(r"[,\u00a0\u202f ]", "", match["number"]))
        if match["parts"] is not None:
            number = cls._divide(number, int(match["parts"]), unit)
        amount = number * cls.units[unit]
        if amount > cls.largest:
            raise quantity_error(cls.expected, "check the number and its unit, for this is more than is plausible")
        figure = match["number"] + (f"/{match['parts']}" if match["parts"] else "")
        return cls(amount, text.strip() if match["unit"] == unit else f"{figure} {unit}")

    @classmethod
    def _divide(cls, number: Fraction, parts: int, unit: str) -> Fraction:
        raise quantity_error(cls.expected, f"write {unit} without a slash")

    @classmethod
    def _mend_unreadable(cls, text: str) -> str:
        if re.search(r"\d,\d{1,2}(?!\d)", text):
            return "write the decimal with a point, for example 5.6"
        return f"write a number and its unit, for example {cls.example}"

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Validate from text; a bare number is an error, for its unit would be a guess."""

        def read(value: Any) -> Quantity:
            if isinstance(value, cls):
                return value
            if not isinstance(value, str):
                mend = f"write the unit after the number, for example {cls.example}"
                raise quantity_error(cls.expected, mend)
            return _parsed(cls.parse, value)

        return core_schema.no_info_plain_validator_function(
            read,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda quantity: quantity.written),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the text form, so that an editor can complete and check it."""
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


@lru_cache(_READ_BEFORE)
def _parsed(parse: Callable[[str], Quantity], text: str) -> Quantity:
    return parse(text)


_LENGTHS = {"mm": Fraction(1), "in": MILLIMETRES_PER_INCH}


@dataclass(frozen=True, order=True)
class Depth(Quantity):
    """A depth of tread or thickness of lining, rotor or drum, in exact millimetres."""

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
        """Return a computed depth. Its `written` is not meant for a page: `pages` formats figures."""
        return cls(millimetres, f"{float(millimetres):g} mm")

    @classmethod
    def _divide(cls, number: Fraction, parts: int, unit: str) -> Fraction:
        if unit != "in" or parts != 32:
            number_text = f"{float(number):g}"
            mend = f"did you mean {number_text}/32 in? The number after the slash is always 32"
            raise quantity_error(cls.expected, mend)
        return number / 32


@dataclass(frozen=True, order=True)
class Length(Quantity):
    """The size of something seen, such as a scratch, in exact millimetres."""

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
            raise quantity_error(cls.expected, "write halves, quarters, eighths and so on of an inch, such as 3/4 in")
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
        """Return a computed distance, which nobody wrote."""
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
    """A share of an area: all of it at most."""

    largest: ClassVar[Fraction] = Fraction(1)


@dataclass(frozen=True, order=True)
class Temperature(Quantity):
    """A temperature, in degrees Celsius. May be below zero: -34 °F is the freezing point of strong coolant."""

    units: ClassVar[Mapping[str, Fraction]] = {"°C": Fraction(1), "°F": Fraction(5, 9)}
    expected: ClassVar[str] = "a temperature with its unit (-37 °C, -34 °F)"
    example: ClassVar[str] = "-34 °F"
    largest: ClassVar[Fraction] = Fraction(400)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read `-34 °F`: the sign first, then as any quantity, then the offset of the Fahrenheit scale."""
        stripped = text.strip()
        below_zero = stripped.startswith(("-", "−"))
        size = super().parse(stripped.lstrip("-−"))
        amount = -size.amount if below_zero else size.amount
        if stripped.endswith("F"):
            amount -= Fraction(160, 9)
        return cls(amount, stripped)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Describe the text form, sign included."""
        described = super().__get_pydantic_json_schema__(schema, handler)
        return {**described, "pattern": described["pattern"].replace("^", "^[-−]?", 1)}
