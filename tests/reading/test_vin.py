"""VIN arithmetic, compared with the worked examples of 49 CFR 565.15 and with the library vininfo."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from vininfo import Vin

from sitegen.reading.checks.vin import LENGTH, PERMITTED, check_digit, model_years

DATA = Path(__file__).parent.parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a table whose first line names its source."""
    return list(csv.DictReader((DATA / name).read_text("utf-8").splitlines()[1:]))


EXAMPLES = rows("vin_worked_examples.csv")
YEARS = rows("vin_model_years.csv")

# Invented, on a manufacturer code that is assigned to nobody: all that this project shows are of this kind.
INVENTED = {
    "00ZWA5H48JD000101": 2018,
    "00ZSB2H74LD000202": 2020,
    "00ZTC1K36GB000303": 2016,
    "00ZVE3M94NF000404": 2022,
    "00ZCG64218H000505": 2008,
    "00ZEJ4E8XRK000606": 2024,
}


@pytest.mark.parametrize("row", EXAMPLES, ids=[row["vin"] for row in EXAMPLES])
def test_the_check_digit_is_that_of_the_worked_example(row):
    """The table names the source of each example. A VIN is valid if its ninth character is the check digit."""
    assert check_digit(row["vin"]) == row["digit"]
    assert (row["vin"][8] == row["digit"]) == row["kind"].startswith("right")


@pytest.mark.parametrize("vin", [*(row["vin"] for row in EXAMPLES), *INVENTED])
def test_vininfo_accepts_the_same_vins(vin):
    assert (check_digit(vin) == vin[8]) == Vin(vin).verify_checksum(check_year=False)


@given(st.text(PERMITTED, min_size=LENGTH - 3, max_size=LENGTH - 3))
def test_vininfo_agrees_on_any_characters(rest):
    """With an invented manufacturer code, so that no maker's rule in the library applies."""
    vin = f"00Z{rest}"
    assert (check_digit(vin) == vin[8]) == Vin(vin).verify_checksum(check_year=False)


@pytest.mark.parametrize(
    "vin",
    ["1M8GDM9AXKP04278", "1M8GDM9AXKP0427888", "1M8GDM9AXKP04278O", "1M8GDM9AXKPI42788", "1M8GDM9AXKPQ42788", ""],
    ids=["16", "18", "O", "I", "Q", "none"],
)
def test_a_malformed_vin_is_rejected_before_the_sum(vin):
    """49 CFR 565.13(b) and (g): 17 characters, and of the letters neither I, O nor Q."""
    with pytest.raises(ValueError, match="a VIN has 17 characters, none of them I, O or Q"):
        check_digit(vin)


@pytest.mark.parametrize("row", YEARS, ids=[row["code"] for row in YEARS])
def test_the_model_year_is_that_of_table_vii(row):
    first, second = int(row["year_if_seventh_is_digit"]), int(row["year_if_seventh_is_letter"])
    with_digit, with_letter = f"00ZWA5148{row['code']}D000101", f"00ZWA5H48{row['code']}D000101"
    assert model_years(with_digit) == (first,)
    assert model_years(with_letter) == (second,)
    assert model_years(with_letter, light_vehicle=False) == (first, second)


@pytest.mark.parametrize("code", ["U", "Z", "0"])
def test_three_permitted_characters_stand_for_no_year(code):
    """49 CFR 565.15(d)(1), Table VII has 30 codes; 33 characters are permitted."""
    assert model_years(f"00ZWA5H48{code}D000101") == ()


def test_the_table_has_all_thirty_codes():
    assert len(YEARS) == 30


@pytest.mark.parametrize(("vin", "year"), INVENTED.items())
def test_vininfo_has_the_same_years_among_its_candidates(vin, year):
    """The library ignores position 7 and returns both cycles."""
    assert model_years(vin) == (year,)
    assert {year} <= set(Vin(vin).years) <= set(model_years(vin, light_vehicle=False))


@pytest.mark.parametrize(("vin", "year"), [("1M8GDM9AXKP042788", 1989), ("1G4AH59H45G118341", 2005)])
def test_the_worked_examples_are_of_the_first_cycle(vin, year):
    """49 CFR 565.15(b) and former 565.25(b): a digit in position 7."""
    assert model_years(vin) == (year,)
