"""Tire sizes: nominal geometry, load index and speed symbol."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from sitegen.condition.tires.tire_sizes import parse_size, worn_diameter
from tests.condition.judged import US

TABLE = Path(__file__).parents[2] / "data" / "condition" / "tire_sizes.csv"


def rows() -> list[dict[str, str]]:
    lines = TABLE.read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["size"])
def test_geometry_agrees_with_the_table(row):
    """Source of each figure: first line of the table."""
    size = parse_size(row["size"])
    assert size.diameter == Fraction(row["diameter_mm"])
    assert (size.diameter - size.rim * Fraction("25.4")) / 2 == Fraction(row["side_mm"])
    assert round(float(size.diameter) / 25.4, 3) == float(row["diameter_in"])


def test_a_worn_tire_is_smaller():
    """P225/65R17 at 7/32 and at 4/32 in of 10/32: 719.5375 and 714.775 mm, 0.66 % apart."""
    diameter = parse_size("P225/65R17").diameter
    unit = Fraction("0.79375")
    at_seven, at_four = (worn_diameter(diameter, 10 * unit, depth * unit) for depth in (7, 4))
    assert (at_seven, at_four) == (Fraction("719.5375"), Fraction("714.775"))
    assert round(float((at_seven - at_four) / at_seven) * 100, 4) == 0.6619


@pytest.mark.parametrize(
    ("written", "load", "speed"),
    [
        ("225/65R17 102H", 102, "H"),
        ("LT245/75R16 120/116S LR E", 120, "S"),
        ("235/60R18 103H XL", 103, "H"),
        ("  p225/65 r17   101t ", 101, "T"),
        ("T165/80D17 104M", 104, "M"),
        ("205/65R16C 107/105T", 107, "T"),
        ("275/55ZR20 (117Y)", 117, "Y"),
        ("265/70R17", None, None),
    ],
)
def test_service_description_is_read(written, load, speed):
    """Notation: ISO 4000-1 and the tire and rim handbooks, from memory."""
    size = parse_size(written)
    assert (size.load_index, size.speed_symbol) == (load, speed)


@pytest.mark.parametrize("written", ["17 inch", "235-60-18", "235/60", "seventeen", "235/60R18x", "2355/60R18"])
def test_an_unknown_size_notation_is_not_guessed(written):
    assert parse_size(written) is None


def test_load_index_and_speed_symbol():
    """ISO 4000-1 and UN Regulation 30. 102H carries 850 kg at up to 210 km/h; H stands between U and V."""
    loads = US.tires.load_index.kilograms
    assert [loads[index] for index in (60, 75, 82, 91, 94, 98, 100, 102, 104, 113, 120, 121, 130)] == [
        *(250, 387, 475, 615, 670, 750, 800, 850, 900, 1150, 1400, 1450, 1900),
    ]
    assert sorted(loads) == list(range(60, 131))
    speeds = US.tires.speed_symbol.kilometres_an_hour
    assert {symbol: speeds[symbol] for symbol in "HVWY"} == {"H": 210, "V": 240, "W": 270, "Y": 300}
    assert speeds["U"] < speeds["H"] < speeds["V"]
