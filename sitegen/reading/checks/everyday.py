"""Everyday words whose one reading hangs on the place: a dollar sign, gas, thirty-seconds without a unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from babel.numbers import get_currency_symbol

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.tree import KeyPath, YamlScalar
from sitegen.records.problems import Problem
from sitegen.records.store import Region, SiteSettings


def check_everyday_words(settings: SiteSettings, sheets: Iterable[Sheet]) -> Iterator[Problem]:
    """Yield words that have another meaning, or none, where the store is. Source of the signs: CLDR, by babel."""
    in_dollars = "$" in get_currency_symbol(settings.currency, "en")
    in_thirty_seconds = settings.region is Region.UNITED_STATES
    for sheet in sheets:
        if not in_dollars and _written(sheet, ("price",)).startswith("$"):
            expected = f"an amount in {settings.currency}, the currency of site.yaml"
            yield sheet.marks.problem(("price",), expected, "write the figure alone, once you know which money it is")
        if in_thirty_seconds:
            continue
        if _written(sheet, ("vehicle", "fuel")) == "gas":
            mend = "write gasoline or natural gas, whichever it is"
            yield sheet.marks.problem(("vehicle", "fuel"), "a fuel that can only mean one thing here", mend)
        for wheel in type(sheet.record.tires).model_fields:
            for place in ("outer", "center", "inner"):
                path: KeyPath = ("tires", wheel, "tread", place)
                if _written(sheet, path).endswith("/32"):
                    yield sheet.marks.problem(
                        path, "a depth with its unit (5.6 mm)", "write the unit after the number"
                    )


def _written(sheet: Sheet, path: KeyPath) -> str:
    node = sheet.marks.node(path)
    return node.written.strip() if isinstance(node, YamlScalar) else ""
