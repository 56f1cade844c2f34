"""Prices that hold for some vehicles only: the narrowest that fits is used and named; the unknown stays open."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.condition.basis.forecast import CostRange
from sitegen.condition.outlook.costs import Cost, cost_of
from sitegen.reading.checks.settings import check_prices
from sitegen.reading.validation.record_files import read_file
from sitegen.records.money.prices import PriceList
from sitegen.records.problems import Severity
from tests.builders import a_vehicle
from tests.condition.judged import US

LARGE: dict[str, Any] = {
    "service": "tire",
    "name": "Tires for 18-inch wheels and larger",
    "rim_from": 18,
    "price": "190-320",
}
HEAVY = {**LARGE, "name": "Large tires of load range E", "load_ranges": ["E"], "price": "240-380"}
PRICES: dict[str, Any] = {
    "prices": {"tire": "120-190", "spark_plugs": "140-320", "coolant": "80-200 from memory"},
    "labor_rate": "100-120",
    "for_some": [
        LARGE,
        HEAVY,
        {"service": "spark_plugs", "name": "Six cylinders", "cylinders": [6], "hours": "2-3", "parts": "90-150"},
    ],
}
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")


def cost(service: str, prices: dict[str, Any] = PRICES, **changes: Any) -> Cost:
    return cost_of((service,), 1, PriceList.model_validate(prices), a_vehicle(**changes))


def on_all_wheels(size: Any) -> dict[str, Any]:
    return {"tires": {wheel: {"size": size} for wheel in WHEELS}}


@pytest.mark.parametrize(
    ("size", "range_", "name"),
    [
        ("205/55R16 91V", CostRange(12_000, 19_000), None),
        ("265/65R18 114T", CostRange(19_000, 32_000), LARGE["name"]),
        ("LT275/70R18 125/122S E", CostRange(24_000, 38_000), HEAVY["name"]),
    ],
)
def test_the_narrowest_entry_that_fits_is_used_and_named(size, range_, name):
    found = cost("tire", **on_all_wheels(size))
    assert (found.known, found.worst) == (range_, None)
    assert (found.narrowed_by and str(next(iter(found.narrowed_by.versions.values())))) == name


def test_unknown_vehicle_data_keeps_all_matching_prices_and_uses_the_dearest_at_worst():
    found = cost("tire", **on_all_wheels(...))
    assert (found.known, found.worst) == (CostRange(12_000, 38_000), CostRange(24_000, 38_000))


def test_hours_cost_the_labor_rate():
    """2 to 3 hours at $100 to $120, and parts at $90 to $150: $290 to $510."""
    assert cost("spark_plugs", vehicle={"cylinders": 6}).known == CostRange(29_000, 51_000)
    assert cost("spark_plugs", vehicle={"cylinders": 4}).known == CostRange(14_000, 32_000)


def test_a_price_from_memory_is_no_price():
    assert cost("coolant") == Cost()
    own = {**PRICES, "prices": {**PRICES["prices"], "coolant": "80-200"}}
    assert cost("coolant", own).known == CostRange(8_000, 20_000)


def test_check_names_prices_that_are_still_from_memory(tmp_path):
    """As `sitegen start` writes them: a warning, and no error."""
    file = tmp_path / "services.yaml"
    file.write_text("prices:\n  coolant: 80-200 from memory\n  bulb: 15-40\n", "utf-8")
    reading = read_file(PriceList, file, "services.yaml")
    assert reading.record is not None
    (problem,) = check_prices(reading.record, reading.marks, US.vocabulary)
    assert (problem.severity, problem.line) == (Severity.WARNING, 2)
    assert "1 from memory (coolant)" in problem.found
