"""Measured quantities, compared with the unit library pint in exact fractions.

Conversion factors: NIST SP 811, Appendix B. In pint `mil` is an angle, so a thousandth of an inch is `thou` there.
"""

from __future__ import annotations

import contextlib
import re
from fractions import Fraction

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from sitegen.records.quantities import (
    CrankingCurrent,
    Depth,
    Distance,
    Energy,
    FilmThickness,
    Length,
    Pressure,
    Quantity,
    Share,
    Temperature,
    Voltage,
)

UNITS: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
PINT_NAMES = {
    "in": "inch",
    "mi": "mile",
    "mil": "thou",
    "µm": "micrometer",
    "μm": "micrometer",
    "um": "micrometer",
    "°F": "degF",
    "°C": "degC",
    "%": "percent",
}
BASE_UNITS: dict[type[Quantity], str] = {
    Depth: "millimeter",
    Length: "millimeter",
    Distance: "meter",
    Pressure: "kilopascal",
    FilmThickness: "micrometer",
    Temperature: "degC",
    Energy: "kilowatt_hour",
    Voltage: "volt",
    Share: "dimensionless",
}
MEASURED = [(kind, unit) for kind in BASE_UNITS for unit in kind.units]


def by_pint(kind: type[Quantity], amount: Fraction, unit: str) -> Fraction:
    return UNITS.Quantity(amount, PINT_NAMES.get(unit, unit)).to(BASE_UNITS[kind]).magnitude


@pytest.mark.parametrize(("kind", "unit"), MEASURED, ids=[f"{kind.__name__} in {unit}" for kind, unit in MEASURED])
@settings(deadline=None)
@given(number=st.integers(0, 800).map(lambda hundredths: Fraction(hundredths, 100)))
def test_every_unit_agrees_with_pint(kind, unit, number):
    """Within 1e-9, because the factor of psi is not a finite decimal. The next test checks the exact ones."""
    number = number / 10 if kind is Share else number
    read = kind.parse(f"{float(number):.3f} {unit}")
    assert float(read.amount) == pytest.approx(float(by_pint(kind, number, unit)), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    ("read", "amount"),
    [
        (Depth.parse("7/32 in"), by_pint(Depth, Fraction(7, 32), "in")),
        (Depth.parse("0.5/32 in"), by_pint(Depth, Fraction(1, 64), "in")),
        (Depth.parse("5.6 mm"), Fraction(28, 5)),
        (Length.parse("3/4 in"), by_pint(Length, Fraction(3, 4), "in")),
        (Length.parse("2 ft"), by_pint(Length, Fraction(2), "ft")),
        (Distance.parse("88,900 mi"), by_pint(Distance, Fraction(88_900), "mi")),
        (Distance.parse("143 000 km"), by_pint(Distance, Fraction(143_000), "km")),
        (Distance.parse("143\u202f000 km"), Fraction(143_000_000)),
        (FilmThickness.parse("5 mil"), by_pint(FilmThickness, Fraction(5), "thou")),
        (Temperature.parse("-34 °F"), by_pint(Temperature, Fraction(-34), "°F")),
        (Temperature.parse("−37 °C"), Fraction(-37)),
        (Pressure.parse("2.4 bar"), by_pint(Pressure, Fraction(12, 5), "bar")),
        (Share.parse("91 %"), Fraction(91, 100)),
    ],
    ids=lambda value: getattr(value, "written", ""),
)
def test_amounts_are_exact(read, amount):
    """Exact by definition: 1 in is 25.4 mm, 1 mi is 1609.344 m, and °F is five ninths of °C (NIST SP 811)."""
    assert read.amount == amount


def test_two_thirty_seconds_is_between_the_limits_of_two_regions():
    """49 CFR 570.9(a) requires 2/32 in, Directive 89/459/EEC 1.6 mm; 1.59 mm satisfies only the first."""
    assert Depth.parse("2/32 in").millimetres == Fraction("1.5875")
    assert Depth.parse("2/32 in") < Depth.parse("1.59 mm") < Depth.parse("1.6 mm")


@pytest.mark.parametrize(
    ("written", "kilometres"), [("98,450 mi", "158439.9168"), ("88,900 mi", "143070.6816"), ("1 mi", "1.609344")]
)
def test_miles_in_kilometres(written, kilometres):
    """Worked by hand with 1.609344 km to the mile (NIST SP 811)."""
    assert Distance.parse(written).kilometres == Fraction(kilometres)


def test_a_quantity_keeps_its_written_text():
    assert Depth.parse(" 7/32 in ").written == "7/32 in"
    assert Distance.parse("88,900 mi").written == "88,900 mi"


def test_different_kinds_of_quantity_cannot_be_compared():
    with pytest.raises(TypeError):
        _ = Depth.parse("7 mm") < Length.parse("8 mm")


@pytest.mark.parametrize(
    ("kind", "written", "mend"),
    [
        (Depth, "7", "write the unit after the number, for example 7/32 in"),
        (Depth, "7/23 in", "did you mean 7/32 in? The number after the slash is always 32"),
        (Depth, "7/32 mm", "did you mean 7/32 in? The number after the slash is always 32"),
        (Depth, "5,6 mm", "write the decimal with a point, for example 5.6"),
        (Depth, "-1 mm", "write a number and its unit, for example 7/32 in"),
        (Depth, "700 mm", "check the number and its unit, for this is more than is plausible"),
        (Depth, "five mm", "write a number and its unit, for example 7/32 in"),
        (Depth, "5.6.1 mm", "write a number and its unit, for example 7/32 in"),
        (Depth, "٧ mm", "write a number and its unit, for example 7/32 in"),
        (Length, "3/5 in", "write halves, quarters, eighths and so on of an inch, such as 3/4 in"),
        (Length, "3/0 in", "write halves, quarters, eighths and so on of an inch, such as 3/4 in"),
        (Distance, "88,90 mi", "write the decimal with a point, for example 5.6"),
        (Distance, "88900 leagues", 'write mi or km in place of "leagues"'),
        (Distance, "1/2 mi", "write mi without a slash"),
        (Distance, "1,000,000 mi", "check the number and its unit, for this is more than is plausible"),
        (CrankingCurrent, "540 CA", 'write CCA in place of "CA"'),
        (FilmThickness, "120 mm", 'write µm or μm or um or mil or thou in place of "mm"'),
        (Share, "150 %", "check the number and its unit, for this is more than is plausible"),
        (Voltage, "12.6", "write the unit after the number, for example 12.6 V"),
    ],
)
def test_an_unreadable_quantity_says_how_to_correct_it(kind, written, mend):
    with pytest.raises(PydanticCustomError) as raised:
        kind.parse(written)
    assert raised.value.context == {"expected": kind.expected, "mend": mend}


KINDS = st.sampled_from([*BASE_UNITS, CrankingCurrent])
TEXTS = st.text(max_size=30) | st.from_regex(
    re.compile(r"[-−]?[\d., /]{0,12} ?(mm|in|mi|km|%|V|°F)?"), fullmatch=True
)


@given(KINDS, TEXTS)
def test_any_text_is_a_quantity_or_an_input_error(kind, text):
    """No other exception is raised, and each parsed quantity is parsed equally from its own text."""
    with contextlib.suppress(PydanticCustomError):
        read = kind.parse(text)
        assert kind.parse(read.written) == read
        assert read.amount <= kind.largest
