"""Checks of everyday words that depend on the region: a dollar sign, `gas`, thirty-seconds without a unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from babel.numbers import get_currency_symbol

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath, YamlScalar
from sitegen.records.money.prices import PriceList
from sitegen.records.problems import Problem
from sitegen.records.store import Region, SiteSettings


def check_everyday_words(settings: SiteSettings, sheets: Iterable[Sheet]) -> Iterator[Problem]:
    """Yield an error for each everyday word that is ambiguous or has another meaning in the store's region.

    Currency signs are taken from CLDR through Babel.
    """
    in_dollars = _is_in_dollars(settings)
    in_thirty_seconds = settings.region is Region.UNITED_STATES
    for sheet in sheets:
        if not in_dollars and _written(sheet.marks, ("price",)).startswith("$"):
            yield _other_money(settings, sheet.marks, ("price",))
        if in_thirty_seconds:
            continue
        if _written(sheet.marks, ("vehicle", "fuel")).casefold() == "gas":
            mend = "write gasoline or natural gas, whichever it is"
            yield sheet.marks.problem(("vehicle", "fuel"), "a fuel that can only mean one thing here", mend)
        for wheel in type(sheet.record.tires).model_fields:
            for place in ("outer", "center", "inner"):
                path: KeyPath = ("tires", wheel, "tread", place)
                if _written(sheet.marks, path).endswith("/32"):
                    yield sheet.marks.problem(
                        path, "a depth with its unit (5.6 mm)", "write the unit after the number"
                    )


def check_money_of_prices(settings: SiteSettings, prices: PriceList, marks: Marks) -> Iterator[Problem]:
    """Yield an error for each service price in dollars if the store's currency is not a dollar."""
    for service in prices.prices if not _is_in_dollars(settings) else ():
        if "$" in _written(marks, ("prices", service)):
            yield _other_money(settings, marks, ("prices", service))


def _is_in_dollars(settings: SiteSettings) -> bool:
    return "$" in get_currency_symbol(settings.currency, "en")


def _other_money(settings: SiteSettings, marks: Marks, path: KeyPath) -> Problem:
    expected = f"an amount in {settings.currency}, the currency of site.yaml"
    return marks.problem(path, expected, "write the figure alone, once you know which money it is")


def _written(marks: Marks, path: KeyPath) -> str:
    node = marks.node(path)
    return node.written.strip() if isinstance(node, YamlScalar) else ""
