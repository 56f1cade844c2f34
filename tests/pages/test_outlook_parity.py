"""The outlook in the browser is the outlook in Python: the same whole numbers, on thousands of cases.

Two implementations in two languages, written from one description (the docstring of `outlook`), check each other.
"""

from __future__ import annotations

import json
import random
from typing import Any

from playwright.sync_api import Browser

from sitegen.condition.basis.forecast import CostRange, ItemFacts, OutlookFacts, WindowCost
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.outlook import outlook, outlook_facts
from sitegen.condition.outlook.plan import plan_of
from sitegen.records.figures import DistanceUnit
from sitegen.shared_data import themes_folder
from tests.conftest import serve

CASES = 2_500
EDGES = (1_000, 12_000, 13_476, 39_999, 40_000)


def a_span(dice: random.Random, largest: int, least: int = 0) -> WholeSpan | None:
    """Return a span or none; now and then an open one, one of no width, or one that starts at zero."""
    if dice.random() < 0.25:
        return None
    low = dice.choice((least, dice.randint(least, largest)))
    high = dice.choice((None, low, dice.randint(low, 2 * largest)))
    return WholeSpan(low, high)


def an_item(dice: random.Random, number: int) -> ItemFacts:
    cents = sorted(dice.randint(0, 200_000) for _ in range(2))
    return ItemFacts(
        key=f"item_{number}",
        distance=a_span(dice, 120_000),
        days=a_span(dice, 4_500),
        again_distance=a_span(dice, 100_000, least=1_000),
        again_months=a_span(dice, 120, least=1),
        cost=dice.choice((None, CostRange(*cents))),
        no_record=dice.random() < 0.3,
    )


def in_python(facts: OutlookFacts, a_year: int, later: int) -> dict[str, Any]:
    """Return Python's outlook in the shape that the script gives."""
    found = outlook(facts, a_year, later)
    return {
        "items": [
            {
                "key": item.key,
                "bandFrom": str(item.band_from),
                "bandTo": str(item.band_to),
                "months": None if item.months is None else [item.months.low, item.months.high],
                "budgetNow": item.budget_now,
                "byTime": item.by_time,
                "least": list(item.least),
                "most": list(item.most),
            }
            for item in found.items
        ],
        "years": [cost_in_python(year) for year in found.years],
        "whole": cost_in_python(found.whole),
        "leftOut": {
            "notPriced": list(found.left_out.not_priced),
            "noBasis": list(found.left_out.no_basis),
            "anyTime": list(found.left_out.any_time),
            "atOnce": list(found.left_out.at_once),
            "noRecord": list(found.left_out.no_record),
        },
    }


def cost_in_python(window: WindowCost) -> dict[str, Any]:
    """Return a window's cost, and its figure to plan with, in the shape that the scripts give."""
    plan = plan_of(window)
    return {
        "least": window.least,
        "most": window.most,
        "middle": window.middle,
        "likely": ends(window.likely),
        "plan": plan and {"about": plan.about, "likely": ends(plan.likely)},
    }


def ends(cost: CostRange | None) -> list[int] | None:
    return None if cost is None else [cost.low, cost.high]


def test_the_browser_works_out_the_same_outlook(browser: Browser):
    """2,500 generated vehicles on any day, exactly equal: bands, months, order, least, most, middle and 8 in 10."""
    dice = random.Random(570)
    cases = []
    for _ in range(CASES):
        items = tuple(an_item(dice, number) for number in range(dice.randint(1, 6)))
        facts = OutlookFacts(DistanceUnit.MILES, items, odometer_counts=dice.random() < 0.9)
        a_year = dice.choice((*EDGES, dice.randint(1_000, 40_000)))
        cases.append((facts, a_year, dice.choice((0, dice.randint(1, 1_500)))))
    given = [[outlook_facts(facts), a_year, later] for facts, a_year, later in cases]

    with serve(themes_folder() / "daylight" / "components" / "outlook") as address:
        page = browser.new_page()
        page.goto(f"{address}/README.md")
        # As one text each way: Playwright takes far longer over values than the browser over their arithmetic.
        answered = page.evaluate(
            """async (given) => {
                const { outlookFor } = await import('/outlook-arithmetic.mjs')
                return JSON.stringify(JSON.parse(given).map((given) => outlookFor(...given)))
            }""",
            json.dumps(given),
        )
        page.close()

    for case, browsers in zip(cases, json.loads(answered), strict=True):
        assert browsers == in_python(*case), case
