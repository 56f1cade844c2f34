"""Use and the odometer statement: 49 CFR part 580; average miles: Federal Highway Administration, March 29, 2018."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from sitegen.condition.basis.findings import UseFinding
from sitegen.condition.basis.forecast import Band
from sitegen.condition.basis.odometer import is_exempt
from tests.builders import a_vehicle
from tests.condition.judged import EU, TODAY, US, judged, miles_left, said


# 49 CFR 580.17(a)(3), (4): model year 2010 and older after 10 years, 2011 and newer after 20; (1): above 16,000 lb.
@pytest.mark.parametrize(
    ("year", "pounds", "today", "exempt"),
    [
        (2010, ..., TODAY, True),
        (2011, ..., date(2030, 12, 31), False),
        (2011, ..., date(2031, 1, 1), True),
        (2012, ..., date(2031, 12, 31), False),
        (2012, ..., date(2032, 1, 1), True),
        (2024, 16_000, TODAY, False),
        (2024, 16_001, TODAY, True),
    ],
)
def test_who_needs_no_odometer_statement(year, pounds, today, exempt):
    record = a_vehicle(vehicle={"year": year, "gross_weight_pounds": pounds})
    assert is_exempt(record, US.region.odometer_exemption, today) is exempt


def test_other_regions_have_no_odometer_statement():
    assert is_exempt(a_vehicle(), EU.region.odometer_exemption, TODAY) is None


@pytest.mark.parametrize(
    ("region", "year", "statement", "told"),
    [
        (US, 2010, "exempt", set()),
        (US, 2011, "exempt", {"use.not_exempt_by_age"}),
        (US, 2010, "not stated", {"use.may_be_exempt"}),
        (US, 2011, "not stated", set()),
        (US, 2010, "actual", set()),
        (EU, 2011, "exempt", set()),
    ],
)
def test_a_statement_of_exempt_is_checked_against_the_rule(region, year, statement, told):
    found = judged(region, vehicle={"year": year}, odometer={"statement": statement}).of(UseFinding)[0]
    assert {key for key in said(found.remarks) if key.endswith("exempt") or "exempt_by" in key} - {
        "use.statement.exempt"
    } == told


def test_miles_a_year_since_january_of_the_model_year():
    """January 1, 2018 to October 4, 2026 are 3,198 days: 64,000 / (3,198 / 365.25) is about 7,309."""
    found = judged().of(UseFinding)[0]
    assert found.a_year.miles == Fraction(64_000) / (Fraction(3_198 * 4, 1461))
    assert int(found.a_year.miles) == 7_309
    assert "use.less_than_average" in said(found.remarks)


def test_the_average_is_named_with_its_source():
    assert US.region.average_a_year.value.miles == 13_476
    assert "Federal Highway Administration" in US.region.average_a_year.source


@pytest.mark.parametrize("statement", ["not actual", "exceeds mechanical limits", "exempt", "not stated"])
def test_without_an_actual_mileage_nothing_is_projected_by_distance(statement):
    """The readings stay, the share of usable tread stays; no miles, and no months from miles."""
    condition = judged(odometer={"statement": statement})
    found = condition.of(UseFinding)[0]
    assert found.a_year is None
    measured = [line for line in condition.lines if not line.facts.not_measured]
    assert not [line.facts.key for line in measured if miles_left(line) is not None]
    key = f"outlook.odometer.{statement.replace(' ', '_')}"
    assert all(key in said(condition.line(line).basis) for line in ("all_tires", "front_brakes", "engine_oil"))


def test_worn_out_is_worn_out_whatever_the_odometer_says():
    brakes = {"left_front": {"pads": {"inner": "2 mm"}}}
    condition = judged(odometer={"statement": "not actual"}, brakes=brakes)
    front = next(item for item in condition.outlook.items if item.key == "front_brakes")
    assert front.band_to is Band.DUE_NOW


def test_a_broken_odometer_is_mentioned():
    condition = judged(odometer={"reading": ...}, inspection={"at": ...})
    found = condition.of(UseFinding)[0]
    assert (found.reading, found.a_year) == (None, None)
    assert "use.no_reading" in said(found.remarks)


def test_no_yearly_distance_is_given_in_the_first_year():
    assert judged(vehicle={"year": 2026}, odometer={"reading": "4,000 mi"}).of(UseFinding)[0].a_year is None
