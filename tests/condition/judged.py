"""The reference figures and a day, for tests that judge a vehicle."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import ItemOutlook, OutlookLine
from sitegen.condition.basis.values import WholeSpan
from sitegen.condition.judging import judge
from sitegen.condition.outlook.distances import shown_thousands
from sitegen.reading.reference.figures import read_figures
from sitegen.records.figures import Figures
from sitegen.records.money.prices import PriceList
from sitegen.records.quantities import Depth, Distance
from sitegen.shared_data import content_folder
from tests.builders import a_vehicle

TODAY = date(2026, 11, 25)
"""A day, for what asks for one: a vehicle is judged as of its own."""
US, GB, EU = (read_figures(content_folder(), region) for region in ("us", "gb", "eu"))
AVERAGE = 13_476
"""Average miles a year per driver: Federal Highway Administration, table of March 29, 2018."""


def judged(
    region: Figures = US,
    prices: PriceList | None = None,
    miles_a_year: int = AVERAGE,
    **changes: Any,
) -> Condition:
    """Judge the base vehicle with some changes."""
    return judge(a_vehicle(**changes), region, prices, Distance.of_miles(miles_a_year))


def item(condition: Condition, key: str) -> ItemOutlook:
    """Return one item of the outlook."""
    return next(found for found in condition.outlook.items if found.key == key)


def keys(condition: Condition) -> set[str]:
    """Return the keys of all items of the outlook."""
    return {found.key for found in condition.outlook.items}


def said(remarks: Any) -> set[str]:
    """Return the message keys of some remarks."""
    return {remark.key for remark in remarks}


def thirty_seconds(number: Fraction | float | str) -> Fraction:
    """Return 32nds of an inch in millimetres, exactly."""
    return Depth.parse(f"{number}/32 in").millimetres


def miles_left(line: OutlookLine) -> WholeSpan | None:
    """Return the distance until an item needs doing, to whole thousands; without the next driver's range."""
    distance = line.facts.need.distance
    return None if distance is None else shown_thousands(distance)
