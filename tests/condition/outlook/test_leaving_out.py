"""Leaving a key out of a record never lowers the high end of a sum, nor the sum of items without a record."""

from __future__ import annotations

import copy
import functools
import random
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from pydantic import ValidationError

from sitegen.condition.basis.forecast import Outlook
from sitegen.condition.judging import judge
from sitegen.reading.store import read_store
from sitegen.records.money.prices import PriceList
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord
from tests.condition.judged import AVERAGE, US

DEMO = Path(__file__).parents[3] / "demo_site"
STOCKS = [f"K10{number}" for number in range(1, 9)]
WHICH_VEHICLE = ("stock", "vin", "vehicle")
SAYS_NOTHING_OF_MONEY = (
    *(
        "photos",
        "notes",
        "additions",
        "equipment",
        "paint",
        "title",
        "recalls",
        "history",
        "papers",
        "price",
        "listed_on",
    ),
    *("listed_on", "location", "sale_terms", "formerly", "status", "video", "earlier", "coolant", "delivery"),
)
A_YEAR = Distance.of_miles(AVERAGE)


@functools.cache
def demo_store() -> tuple[dict[str, VehicleRecord], PriceList]:
    store, problems = read_store(DEMO, date(2026, 11, 25))
    assert store is not None, problems
    assert store.prices is not None
    return {each.record.stock: each.record for each in store.vehicles}, store.prices


def plain_record(stock: str) -> dict[str, Any]:
    """Return what inspection.yaml holds, with all scalars as text, as records are read."""
    text = (DEMO / "vehicles" / stock / "inspection.yaml").read_text("utf-8")
    loaded: dict[str, Any] = yaml.load(text, yaml.BaseLoader)
    return loaded


def optional_paths(record: dict[str, Any], under: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the path of every key that says something of money."""
    for key, value in record.items():
        path = (*under, key)
        if not under and key in (*WHICH_VEHICLE, *SAYS_NOTHING_OF_MONEY):
            continue
        yield path
        if isinstance(value, dict):
            yield from optional_paths(value, path)
        elif isinstance(value, list):
            for place, entry in enumerate(value):
                if isinstance(entry, dict):
                    yield from optional_paths(entry, (*path, place))


def without(record: dict[str, Any], path: tuple[str | int, ...]) -> dict[str, Any]:
    changed = copy.deepcopy(record)
    inner: Any = changed
    for step in path[:-1]:
        inner = inner[step]
    del inner[path[-1]]
    return changed


def judged_outlook(record: dict[str, Any], prices: PriceList) -> Outlook | None:
    """Return the outlook; None for a record that is no record."""
    try:
        return judge(VehicleRecord.model_validate(record), US, prices, A_YEAR).outlook
    except (ValidationError, KeyError):
        return None


def lowered(before: Outlook, after: Outlook) -> list[str]:
    """Return the names of the figures that are lower than before."""
    figures = {
        "first year": (before.first_year.total.high, after.first_year.total.high),
        "three years": (before.whole.total.high, after.whole.total.high),
        "no record": (before.no_record.high, after.no_record.high),
        "no record, about": (before.no_record.about, after.no_record.about),
    }
    return [name for name, (was, now) in figures.items() if now < was]


def check(record: dict[str, Any], paths: list[tuple[str | int, ...]], prices: PriceList) -> list[str]:
    before = judged_outlook(record, prices)
    assert before is not None
    wrong = []
    for path in paths:
        after = judged_outlook(without(record, path), prices)
        if after is not None and (names := lowered(before, after)):
            wrong.append(f"{'.'.join(map(str, path))}: {', '.join(names)}")
    return wrong


SAMPLED = 25
"""So many keys of each record; `python -m tests.bench.outlook_checks` goes through all of them."""


@pytest.mark.parametrize("stock", STOCKS)
def test_leaving_out_a_key_of_a_demo_record_never_looks_cheaper(stock):
    _, prices = demo_store()
    record = plain_record(stock)
    paths = random.Random(stock).sample(list(optional_paths(record)), SAMPLED)
    assert check(record, paths, prices) == []


@pytest.mark.parametrize("stock", STOCKS)
def test_leaving_out_a_key_of_a_generated_record_never_looks_cheaper(stock):
    """A demo record from which eight keys were taken already, at random."""
    _, prices = demo_store()
    dice, record = random.Random(f"{stock} generated"), plain_record(stock)
    for _ in range(8):
        fewer = without(record, dice.choice(list(optional_paths(record))))
        record = fewer if judged_outlook(fewer, prices) is not None else record
    paths = dice.sample(list(optional_paths(record)), 12)
    assert check(record, paths, prices) == []


def test_a_fault_without_words_leaves_the_second_sum_as_it_is():
    """Wiper blades without a record stay in the second sum, whether or not a note says what was found."""
    _, prices = demo_store()
    record = plain_record("K102")
    assert check(record, [("checks", "wipers_and_washers", "note")], prices) == []
