"""The 12 V battery and the traction battery. SAE J537 defines the current; the bands are common practice."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sitegen.condition.basis.findings import BatteryFinding, TractionBatteryFinding
from sitegen.condition.basis.forecast import Band
from sitegen.condition.basis.values import Span, WholeSpan
from tests.condition.judged import EU, GB, US, item, judged, said


@pytest.mark.parametrize(
    ("tested", "rated", "share", "key"),
    [
        ("480 CCA", "600 CCA", Fraction(4, 5), "battery.good"),
        ("479 CCA", "600 CCA", Fraction(479, 600), "battery.aging"),
        ("360 CCA", "600 CCA", Fraction(3, 5), "battery.aging"),
        ("350 CCA", "600 CCA", Fraction(7, 12), "battery.replace"),
    ],
)
def test_tested_against_rated(tested, rated, share, key):
    found = judged(battery={"tested": tested, "rated": rated}).of(BatteryFinding)[0]
    assert found.cranking == share
    assert key in said(found.remarks)


@pytest.mark.parametrize(
    ("voltage", "hours", "charge"),
    [
        ("12.60 V", 8, "charged"),
        ("12.59 V", 8, "three_quarters"),
        ("12.40 V", 6, "three_quarters"),
        ("12.39 V", 8, "half"),
        ("12.19 V", 8, "low"),
        ("12.70 V", 5, None),
        ("12.70 V", ..., None),
    ],
)
def test_rest_voltage_gives_a_band_and_needs_hours_of_rest(voltage, hours, charge):
    """Handbook tables differ by up to 0.15 V at the same charge, so never a percentage; six hours of rest at
    least."""
    found = judged(battery={"rest_voltage": voltage, "rested_hours": hours}).of(BatteryFinding)[0]
    assert found.charge == charge


def test_a_battery_that_tests_badly_is_due_now():
    assert item(judged(battery={"tested": "300 CCA"}), "battery").band_to is Band.DUE_NOW


def test_age_gives_the_remaining_months():
    """Fitted in March 2023, 36 to 60 months, as of October 4, 2026: over since March 2026, and to March 31, 2028."""
    assert judged().line("battery").facts.need.days == WholeSpan(0, 544)


def test_without_a_date_nothing_is_called_fine():
    found = item(judged(battery={"fitted_on": ...}), "battery")
    assert found.budget_now is True
    assert found.band_from is Band.NO_BASIS


def test_a_good_test_keeps_an_old_battery_from_being_surely_due():
    good = item(judged(battery={"fitted_on": "2019"}), "battery")
    assert (good.band_from, good.band_to) == (Band.DUE_NOW, Band.LATER)


def electric(health: str, bought: int, region=EU, **changes):
    vehicle = {"fuel": "electric", "year": bought, "transmission": "single speed"}
    battery = {"state_of_health": health, "method": "vehicle display"}
    return judged(region, vehicle=vehicle, traction_battery=battery, **changes).of(TractionBatteryFinding)[0]


# UN Global Technical Regulation No. 22 (cars, read second-hand): 80 % to 5 years or 100,000 km, 70 % to 8 or 160,000.
@pytest.mark.parametrize(
    ("health", "year", "miles", "floor", "told"),
    [
        ("79 %", 2022, "55,900 mi", Fraction(8, 10), {"traction_battery.below_floor"}),  # 4.9 years and 90,000 km
        ("80 %", 2022, "55,900 mi", Fraction(8, 10), {"traction_battery.above_floor"}),
        ("79 %", 2021, "55,900 mi", Fraction(7, 10), {"traction_battery.above_floor"}),  # past 5 years
        (
            "79 %",
            2022,
            "62,200 mi",
            Fraction(7, 10),
            {"traction_battery.above_floor"},
        ),  # past 100,000 km (62,137 mi)
        ("60 %", 2017, "55,900 mi", None, set()),  # past 8 years there is no figure
    ],
)
def test_state_of_health_against_the_floor_for_its_age_and_distance(health, year, miles, floor, told):
    found = electric(health, year, odometer={"reading": miles}, inspection={"at": miles})
    assert (None if found.floor is None else found.floor.amount) == floor
    assert {key for key in said(found.remarks) if "_floor" in key} == told


def test_a_page_of_another_region_does_not_present_that_rule():
    """The rule binds new types in the European Union; on another page it would read as if it applied there."""
    for region in (US, GB):
        found = electric("79 %", 2022, region, odometer={"reading": "55,900 mi"}, inspection={"at": "55,900 mi"})
        assert found.floor is None
        assert not {key for key in said(found.remarks) if "_floor" in key}


def test_a_display_may_be_off_by_five_points():
    """The same regulation lets the vehicle's own monitor be off by about five points."""
    assert electric("84 %", 2023).likely == Span(Fraction(79, 100), Fraction(89, 100))
    assert electric("98 %", 2023).likely == Span(Fraction(93, 100), Fraction(1))
    assert electric("3 %", 2023).likely == Span(Fraction(0), Fraction(8, 100))
    (told,) = [said for said in electric("84 %", 2023).remarks if said.key == "traction_battery.vehicle_display"]
    assert told.figures["points"] == 5


def test_an_electric_vehicle_without_a_reading_says_so():
    found = judged(vehicle={"fuel": "electric"}).of(TractionBatteryFinding)[0]
    assert found.likely is None
    assert said(found.remarks) == {"traction_battery.not_measured"}


# 70 % is common practice. A display may be off by five points, so 74 % may be 69.
@pytest.mark.parametrize(
    ("battery", "key", "days"),
    [
        ({"state_of_health": "62 %", "method": "vehicle display"}, "worn", WholeSpan(0, None)),
        ({"state_of_health": "74 %", "method": "vehicle display"}, "worn", WholeSpan(0, None)),
        ({"state_of_health": "74 %", "method": "capacity test"}, "no_figure", None),
        ({"state_of_health": "91 %", "method": "vehicle display"}, "no_figure", None),
        (..., "not_measured", None),
    ],
)
def test_a_traction_battery_has_a_line_and_a_worn_one_may_be_due(battery, key, days):
    line = judged(vehicle={"fuel": "electric"}, traction_battery=battery).line("traction_battery")
    assert (said(line.basis), line.facts.need.days) == ({f"outlook.traction_battery.{key}"}, days)


def test_a_worn_traction_battery_without_a_price_is_named_under_the_sums():
    battery = {"state_of_health": "62 %", "method": "vehicle display"}
    condition = judged(vehicle={"fuel": "electric"}, traction_battery=battery)
    assert "traction_battery" in condition.outlook.named.not_priced


def test_a_new_traction_battery_does_not_show_the_old_ones_health():
    work = {"what": "New battery.", "on": "2026-10-05", "renews": ["traction_battery"]}
    old = {"state_of_health": "62 %", "method": "vehicle display"}
    condition = judged(vehicle={"fuel": "electric"}, traction_battery=old, work_done=[work])
    assert condition.of(TractionBatteryFinding)[0].likely is None
    assert said(condition.line("traction_battery").basis) == {"outlook.check.renewed"}


def test_a_gasoline_vehicle_has_no_finding_about_a_traction_battery():
    assert judged().of(TractionBatteryFinding) == ()
