"""Figures beside each other in one sentence: a range of one figure, and a figure that looks like a limit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sitegen.condition.basis.values import Tread
from sitegen.pages.language.catalog import Catalog
from sitegen.pages.language.formats import Formats
from sitegen.records.quantities import Distance, Length, Quantity

RANGES = (("low", "high"), ("new_low", "new_high"), ("low_months", "high_months"))
"""Names of the two ends of a range in a message."""
WAYS = ("between", "from_to", "to")
"""How a range is said, the longest first: `range.between` and `range.between_one`."""
LIMITS = frozenset(
    (
        *("limit", "plan", "replace_at", "discard", "least", "allowed", "from"),
        *("plan_from", "replace_from", "good_from", "replace_below"),
    )
)
"""Names of figures that others in the sentence are held against."""


def of_one_figure(form: str, written: Mapping[str, str], catalog: Catalog) -> str:
    """Return a message in which a range whose ends are written alike is one figure: not "100 % to 100 %"."""
    for low, high in RANGES:
        if f"{{{high}}}" in form and low in written and written[low] == written.get(high):
            for way in WAYS:
                both = _named(catalog.form(f"range.{way}"), low, high)
                form = form.replace(both, _named(catalog.form(f"range.{way}_one"), low, high))
    return form


def _named(form: str, low: str, high: str) -> str:
    return form.replace("{low}", f"{{{low}}}").replace("{high}", f"{{{high}}}")


def apart_from_limits(figures: Mapping[str, Any], formats: Formats) -> dict[str, str]:
    """Return, written finer, each figure that would look like a limit in the sentence, and is not.

    79.8 % against a limit of 80 % is not written "80 %".
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
