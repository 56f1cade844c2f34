"""The filters and orders of the list's script, compared with SQLite, NULL included."""

from __future__ import annotations

import json
import random
import sqlite3
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from sitegen.shared_data import themes_folder
from tests.conftest import serve

FIELDS = {
    "stock": "text",
    "listed": "integer",
    "year": "integer",
    "make": "text",
    "body": "text",
    "drive": "text",
    "fuel": "text",
    "location": "text",
    "price": "real",
    "distance": "integer",
    "a_year": "integer",
    "tread": "real",
    "lining": "real",
    "looks": "integer",
    "function": "integer",
    "safety": "integer",
    "upkeep": "integer",
    "unchecked": "integer",
}
CONDITIONS = {
    "body": "body = ?",
    "make": "make = ?",
    "drive": "drive = ?",
    "fuel": "fuel = ?",
    "location": "location = ?",
    "price": "price <= ?",
    "miles": "distance <= ?",
    "year": "year >= ?",
    "tread": "tread >= ?",
    "upkeep": "upkeep <= ?",
    "sound": "function + safety = 0 and ? = 'yes'",
    "checked": "unchecked = 0 and ? = 'yes'",
}
ORDERS = {
    "": "listed desc",
    "price": "price",
    "miles": "distance",
    "a-year": "a_year",
    "year": "year desc",
    "tread": "tread desc",
    "lining": "lining desc",
    "defects": "safety, function, looks",
    "upkeep": "upkeep",
}
UNKNOWN = {"price": "price", "miles": "distance", "tread": "tread", "upkeep": "upkeep", "year": "year"}


def a_row(dice: random.Random, number: int) -> dict[str, Any]:
    def maybe(value: float) -> float | None:
        return None if dice.random() < 0.15 else value

    return {
        "stock": f"N{number:05}",
        "listed": dice.randint(739_000, 739_030),
        "year": dice.randint(2008, 2024),
        "make": dice.choice(("Brevik", "Norrin", "Tarn")),
        "body": dice.choice(("suv", "sedan", "cargo van")),
        "drive": dice.choice(("awd", "fwd", "4wd")),
        "fuel": dice.choice(("gasoline", "electric")),
        "location": dice.choice((None, "North lot", "South lot")),
        "price": maybe(dice.randrange(2_000, 40_000, 500)),
        "distance": maybe(dice.randint(5, 200_000)),
        "a_year": maybe(dice.randint(1_000, 30_000)),
        "tread": maybe(dice.randint(1, 11) + dice.choice((0, 0, 0.8))),
        "lining": maybe(dice.randint(1, 12)),
        "looks": dice.randint(0, 3),
        "function": dice.choice((0, 0, 1, 2)),
        "safety": dice.choice((0, 0, 0, 1)),
        "upkeep": maybe(dice.randint(0, 4_000)),
        "unchecked": dice.choice((0, 0, 3)),
    }


def some_wishes(dice: random.Random) -> dict[str, str]:
    offered = {
        "body": dice.choice(("suv", "cargo van")),
        "make": "Brevik",
        "drive": dice.choice(("awd", "fwd")),
        "fuel": "gasoline",
        "location": "North lot",
        "price": str(dice.randrange(2_000, 40_000, 250)),
        "miles": str(dice.randint(5_000, 200_000)),
        "year": str(dice.randint(2006, 2025)),
        "tread": str(dice.randint(3, 10)),
        "upkeep": str(dice.randint(0, 4_000)),
        "sound": "yes",
        "checked": "yes",
    }
    return {name: offered[name] for name in dice.sample(sorted(offered), dice.randint(0, 4))}


@pytest.fixture
def script(browser: Browser):
    with serve(themes_folder() / "daylight" / "components" / "inventory-filters") as address:
        page = browser.new_page()
        page.goto(f"{address}/README.md")
        yield page
        page.close()


def asked(script: Page, rows: list[dict[str, Any]], cases: list[tuple[dict[str, str], str]]) -> list[dict[str, Any]]:
    """Return what the script answers: the stock numbers in order, how many more might fit, and what helps."""
    fields = [*rows[0], "name", "kind", "more_words"]
    file = {"fields": fields, "rows": [[*row.values(), "2016 Café Brevik", "SUV", row["stock"]] for row in rows]}
    answered: str = script.evaluate(
        """async (given) => {
            const { rowsOf, wishesOf, matching, inOrder, loosening } = await import('/inventory-matching.mjs')
            const [file, cases] = JSON.parse(given)
            const rows = rowsOf([file])
            return JSON.stringify(cases.map(([values, sort]) => {
                const wishes = wishesOf(Object.entries(values))
                const { fitting, unknown } = matching(rows, wishes)
                const stocks = inOrder(fitting, sort).map(({ stock }) => stock)
                return { stocks, unknown, helps: loosening(rows, wishes) }
            }))
        }""",
        json.dumps([file, cases]),
    )
    answers: list[dict[str, Any]] = json.loads(answered)
    return answers


def test_filter_and_order_are_those_of_sqlite(script):
    dice = random.Random(6)
    rows = [a_row(dice, number) for number in range(400)]
    cases = [(some_wishes(dice), dice.choice(sorted(ORDERS))) for _ in range(300)]
    database = sqlite3.connect(":memory:")
    database.execute(f"create table vehicle ({', '.join(f'{name} {kind}' for name, kind in FIELDS.items())})")
    database.executemany(
        f"insert into vehicle values ({','.join('?' * len(FIELDS))})", [[*row.values()] for row in rows]
    )

    def stocks(wishes: dict[str, str], order: str) -> list[str]:
        where = " and ".join(CONDITIONS[name] for name in wishes) or "1"
        # Columns have affinities, so the texts of the form are compared as numbers where the column holds numbers.
        terms = ", ".join(
            f"{term.split()[0]} is null, {term}" for term in (*ORDERS[order].split(", "), "listed desc", "stock")
        )
        found = database.execute(f"select stock from vehicle where {where} order by {terms}", [*wishes.values()])
        return [row[0] for row in found]

    def may_fit(wishes: dict[str, str]) -> int:
        each = [
            f"({CONDITIONS[name]} or {UNKNOWN[name]} is null)" if name in UNKNOWN else CONDITIONS[name]
            for name in wishes
        ]
        query = f"select count(*) from vehicle where {' and '.join(each) or '1'}"
        return int(database.execute(query, [*wishes.values()]).fetchone()[0])

    some_found = 0
    for (wishes, order), answer in zip(cases, asked(script, rows, cases), strict=True):
        expected = stocks(wishes, order)
        some_found += bool(expected)
        assert answer["stocks"] == expected, (wishes, order)
        assert answer["unknown"] == may_fit(wishes) - len(expected), wishes
        without = {name: len(stocks({key: wishes[key] for key in wishes if key != name}, "")) for name in wishes}
        assert {found["name"]: found["count"] for found in answer["helps"]} == {
            name: count for name, count in without.items() if count
        }
    assert some_found > 100


@pytest.mark.parametrize(
    ("words", "is_found"),
    [("brevik", True), ("CAFE suv", True), ("café", True), ("n00000", True), ("  ", True), ("norrin", False)],
)
def test_words_are_found_whatever_their_case_accents_and_order(script, words, is_found):
    """Unicode Standard Annex 15: compatibility decomposition parts a letter from its accent."""
    rows = [a_row(random.Random(1), 0)]
    (answer,) = asked(script, rows, [({"words": words}, "")])
    assert bool(answer["stocks"]) is is_found


@pytest.mark.parametrize("junk", ["abc", "1e999", "--", ""])
def test_an_invalid_number_is_not_a_filter(script, junk):
    rows = [a_row(random.Random(1), number) for number in range(5)]
    (answer,) = asked(script, rows, [({"price": junk, "unheard-of": "x"}, "nonsense")])
    assert len(answer["stocks"]) == 5
