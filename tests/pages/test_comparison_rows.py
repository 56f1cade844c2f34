"""The rows of a comparison, checked by hand; the script's hatching equals Python's."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from playwright.sync_api import Browser

from sitegen.pages.vehicle.measured.rulers import ruler
from sitegen.shared_data import themes_folder
from tests.conftest import serve


@pytest.fixture
def call(browser: Browser):
    with serve(themes_folder() / "daylight" / "components" / "comparison") as address:
        page = browser.new_page()
        page.goto(f"{address}/README.md")
        script = "async ([file, name, values]) => (await import(`/${file}`))[name](...values)"

        def answer(file: str, name: str, *values: Any) -> Any:
            return page.evaluate(script, [file, name, values])

        yield answer
        page.close()


@pytest.mark.parametrize(
    ("text", "stocks"),
    [
        ("K101,K102", ["K101", "K102"]),
        ("K101,K101", ["K101"]),
        ("K1,K2,K3,K4,K5", ["K1", "K2", "K3", "K4"]),
        ("../x,<b>,K-1,-", ["K-1"]),
        ("", []),
        (None, []),
    ],
)
def test_an_address_holds_up_to_four_stock_numbers_only(call, text, stocks):
    """A stock number is letters and digits with single hyphens, as the record's own pattern says."""
    assert call("comparison-rows.mjs", "chosenIn", text) == stocks


def test_a_fifth_vehicle_is_refused_and_a_choice_can_be_undone(call):
    four = ["K1", "K2", "K3", "K4"]
    assert call("comparison-rows.mjs", "choose", four, "K5", True) == four
    assert call("comparison-rows.mjs", "choose", four, "K2", False) == ["K1", "K3", "K4"]


def test_rows_keep_the_order_of_each_vehicle(call):
    lists = [["front", "rear", "cabin"], ["front", "left side", "rear"], ["underside"]]
    merged = call("comparison-rows.mjs", "allLabels", lists)
    assert sorted(merged) == ["cabin", "front", "left side", "rear", "underside"]
    assert merged.index("front") < merged.index("left side") < merged.index("rear") < merged.index("cabin")


def test_rows_of_all_vehicles_are_separated_from_rows_of_some(call):
    found = call(
        "comparison-rows.mjs", "differences", [["Roof rails", "Hitch"], ["roof rails"], ["Roof rails", "Sunroof"]]
    )
    assert found == {"shared": ["Roof rails"], "own": [["Hitch"], [], ["Sunroof"]]}


def test_texts_are_compared_without_regard_to_spaces(call):
    assert call("comparison-rows.mjs", "areAlike", ["5 doors", " 5\u00a0doors\n", "5  doors"])
    assert not call("comparison-rows.mjs", "areAlike", ["4 doors", "5 doors"])
    assert call("comparison-rows.mjs", "areAlike", [None, ""])
    assert not call("comparison-rows.mjs", "areAlike", [None, "not listed"])


@pytest.mark.parametrize("limit", [0, 1, 2, 7])
def test_the_script_hatches_a_zone_as_python_does(call, limit):
    drawn = ruler("", None, (), Fraction(limit), Fraction(10), 2)
    hatched = call("comparison-rulers.mjs", "hatching", drawn.zero_x, drawn.limit_x, drawn.bottom, drawn.breadth)
    assert hatched == drawn.hatching
