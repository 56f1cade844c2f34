"""The outlook in the browser is the outlook in Python: the same whole numbers, and the same words in each language.

Two implementations in two languages, written from one description (the docstrings of sitegen/condition/outlook),
check each other. Node runs the theme's modules as a browser does.
"""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path
from typing import Any

from sitegen.condition.basis.forecast import CostRange, ItemFacts, NeedFacts, OutlookFacts, PlanFigure
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.outlook.outlook import outlook, outlook_facts
from sitegen.condition.outlook.spreads import spreads
from sitegen.records.figures import DistanceUnit
from sitegen.shared_data import themes_folder
from tests.condition.judged import US

CASES = 500
EDGES = (1_000, 12_000, 13_476, 39_999, 40_000)
SPREADS = spreads(US.outlook)
RUN = """
import { readFileSync } from 'node:fs'
const { outlookFor } = await import(process.argv[1])
const given = JSON.parse(readFileSync(0, 'utf8'))
process.stdout.write(JSON.stringify(given.map((each) => outlookFor(...each))))
"""


def a_span(dice: random.Random, largest: int, least: int = 0) -> WholeSpan | None:
    """Return a span or none; now and then an open one, one of no width, or one that starts at zero."""
    if dice.random() < 0.25:
        return None
    low = dice.choice((least, dice.randint(least, largest)))
    high = dice.choice((None, low, dice.randint(low, 2 * largest)))
    return WholeSpan(low, high)


def a_need(dice: random.Random) -> NeedFacts:
    return NeedFacts(
        distance=a_span(dice, 12_000_000),
        days=a_span(dice, 4_500),
        own_wear=dice.random() < 0.4,
        most_distance=a_span(dice, 20_000_000),
    )


def a_cost(dice: random.Random) -> CostRange:
    return CostRange(*sorted(dice.randint(0, 200_000) for _ in range(2)))


def an_item(dice: random.Random, number: int) -> ItemFacts:
    cost = dice.choice((None, a_cost(dice), a_cost(dice)))
    return ItemFacts(
        key=f"item_{number}",
        need=a_need(dice),
        again_distance=a_span(dice, 10_000_000, least=100_000),
        again_months=a_span(dice, 120, least=1),
        cost=cost,
        no_record=dice.random() < 0.3,
        not_measured=dice.random() < 0.2,
        worst=dice.choice((None, a_need(dice))),
        worst_cost=None if cost is None else dice.choice((None, a_cost(dice))),
    )


def some_cases(count: int, seed: int = 570) -> list[tuple[OutlookFacts, int, int]]:
    """Return generated facts, each with a distance a year and how many days later it is looked at."""
    dice = random.Random(seed)
    cases = []
    for _ in range(count):
        items = tuple(an_item(dice, number) for number in range(dice.randint(1, 6)))
        facts = OutlookFacts(DistanceUnit.MILES, items, SPREADS)
        a_year = dice.choice((*EDGES, dice.randint(1_000, 40_000)))
        cases.append((facts, a_year, dice.choice((0, dice.randint(1, 1_500)))))
    return cases


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
                "notMeasured": item.not_measured,
            }
            for item in found.items
        ],
        "firstYear": {"due": figure(found.first_year.due), "total": figure(found.first_year.total)},
        "whole": {"due": figure(found.whole.due), "total": figure(found.whole.total)},
        "noRecord": figure(found.no_record),
        "named": {
            "notPriced": list(found.named.not_priced),
            "noBasis": list(found.named.no_basis),
            "notMeasured": list(found.named.not_measured),
            "atWorst": list(found.named.at_worst),
            "noRecord": list(found.named.no_record),
        },
    }


def figure(plan: PlanFigure) -> dict[str, int]:
    return {"about": plan.about, "low": plan.low, "high": plan.high}


def run_node(script: str, module: str, given: Any) -> Any:
    """Return what a script of Node answers to some JSON; it gets the address of a module of the outlook."""
    module_file: Path = themes_folder() / "daylight" / "components" / "outlook" / module
    answered = subprocess.run(
        ["node", "--input-type=module", "-e", script, module_file.as_uri()],
        input=json.dumps(given),
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(answered.stdout)


def check_arithmetic(count: int, seed: int = 570) -> None:
    cases = some_cases(count, seed)
    given = [[outlook_facts(facts), a_year, later] for facts, a_year, later in cases]
    for case, answered in zip(cases, run_node(RUN, "outlook-arithmetic.mjs", given), strict=True):
        assert answered == in_python(*case), case


def test_the_browser_works_out_the_same_outlook():
    """Generated vehicles on any day, exactly equal: bands, months, order, both sums, their ranges, what is named."""
    check_arithmetic(CASES)
