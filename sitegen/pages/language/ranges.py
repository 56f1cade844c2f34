"""Adjust figures within one message: collapse equal ranges, and keep figures distinct from limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sitegen.condition.basis.values import Tread
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import Formats
from sitegen.records.quantities import Distance, Length, Quantity

RANGES = (("low", "high"), ("new_low", "new_high"), ("low_months", "high_months"))
"""The names of the two ends of a range in messages."""
WAYS = ("between", "from_to", "to")
"""The phrases for a range, longest first. Each has a message `range.<way>`, and `range.<way>_one` for a single
figure."""
LIMITS = frozenset(
    (
        *("limit", "plan", "replace_at", "discard", "least", "allowed", "from"),
        *("plan_from", "replace_from", "good_from", "replace_below"),
    )
)
"""The names of figures in messages that are limits for the other figures."""


def collapse_equal_ranges(form: str, written: Mapping[str, str], catalog: Catalog) -> str:
    """Replace a range whose ends are formatted alike by a single figure: "100 %", not "100 % to 100 %".

    `form` is a message with its `{figures}` not filled in, and `written` holds the formatted figures.
    """
    for low, high in RANGES:
        if f"{{{high}}}" in form and low in written and written[low] == written.get(high):
            for way in WAYS:
                both = _named(catalog.form(f"range.{way}"), low, high)
                form = form.replace(both, _named(catalog.form(f"range.{way}_one"), low, high))
    return form


def _named(form: str, low: str, high: str) -> str:
    return form.replace("{low}", f"{{{low}}}").replace("{high}", f"{{{high}}}")


def distinct_from_limits(figures: Mapping[str, Any], formats: Formats) -> dict[str, str]:
    """Return the figures that would look equal to a limit in the message, formatted with more decimals.

    79.8 % with a limit of 80 % is written "79.8 %", not "80 %".
    """
    limits = [value for name, value in figures.items() if name in LIMITS]
    return dict(_finer(figures, limits, formats)) if limits else {}


def _finer(figures: Mapping[str, Any], limits: list[Any], formats: Formats) -> Iterator[tuple[str, str]]:
    for name, value in figures.items():
        for limit in limits if name not in LIMITS else ():
            if type(value) is not type(limit) or isinstance(value, Distance | Length):
                continue
            if isinstance(value, Tread):
                if formats.tread(value.depth) == formats.tread(limit.depth) and value.depth != limit.depth:
                    yield name, formats.apart(value.depth, limit.depth, formats.tread_to)
            elif (
                isinstance(value, Quantity) and value != limit and formats.quantity(value) == formats.quantity(limit)
            ):
                yield name, formats.apart(value, limit, formats.quantity)
