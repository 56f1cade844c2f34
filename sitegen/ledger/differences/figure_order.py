"""Decide whether a published figure now looks better than before, or can no longer be compared. Pure.

Better means: more tread, lining or charge; a thinner drum; less water; fewer miles. A key without such an order (a
date code, a size, a thickness when new) counts as better whenever its value differs.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from sitegen.records.quantities import Depth, Distance, Length, Temperature

LARGER_IS_BETTER = {
    *(
        "tread",
        "pads",
        "shoes",
        "rotor",
        "drum_discard",
        "tested",
        "rest_voltage",
        "state_of_health",
        "range_at_full",
    ),
    "fitted_on",
}
"""Keys for which a larger value is better. A tread or pad may be one figure, or several by position."""
SMALLER_IS_BETTER = {"drum", "rotor_discard", "rated", "moisture", "freezes_at", "reading", "reads_to"}
NO_FIGURE = {"note", "pressure", "tested_on", "measured_on", "read_on", "rested_hours", "name"}
"""Keys that may change freely: daily values and texts. Changes of these are never "better"."""
WORSE_STATEMENTS = {"not actual", "exceeds mechanical limits"}
"""Odometer statements that are worse than any other, so that a change to them is not "better"."""

Path = tuple[str, ...]


def better_figures(old: Any, new: Any, path: Path) -> Iterator[tuple[Path, Any, Any]]:
    """Yield the figures of a part that are gone or better: path, old value, new value (None if gone)."""
    for figure_path, before in _leaves(path, old):
        if NO_FIGURE & set(figure_path):
            continue
        after = _value_at(new, figure_path[len(path) :])
        if after is None or is_better(figure_path, before, after):
            yield figure_path, before, after


def is_better(path: Path, before: Any, after: Any) -> bool:
    """Return whether the new value is better, or differs where no order is known."""
    if _is_same(before, after) or (path[-1] == "statement" and after in WORSE_STATEMENTS):
        return False
    key = next((step for step in reversed(path) if step in LARGER_IS_BETTER | SMALLER_IS_BETTER), None)
    order = is_less(before, after)
    if key is None or order is None:
        return True
    return order if key in LARGER_IS_BETTER else bool(is_less(after, before))


def is_less_or_other(first: Any, other: Any) -> bool:
    """Return whether a value is less than another, or differs and cannot be compared with it."""
    return first != other and is_less(first, other) is not False


def _is_same(before: Any, after: Any) -> bool:
    """Return whether two values are equal. A date that adds a month or day to the old date counts as equal."""
    days = str(before), str(after)
    return before == after or (all(_DAY.fullmatch(day) for day in days) and days[1].startswith(days[0]))


_KINDS = (Depth, Length, Distance, Temperature)
_FIGURE = re.compile(r"\s*(-?\d[\d,]*(?:\.\d+)?)\s*(.*?)\s*", re.DOTALL)
_DAY = re.compile(r"\d{4}(-\d\d){0,2}", re.ASCII)


def is_less(first: Any, other: Any) -> bool | None:
    """Return whether a value is less than another, both as written in records. None if they cannot be compared."""
    texts = str(first), str(other)
    if all(_DAY.fullmatch(text) for text in texts):
        return texts[0] < texts[1]
    for kind in _KINDS:
        try:
            return kind.parse(texts[0]).amount < kind.parse(texts[1]).amount
        except ValueError:
            continue
    figures = [_FIGURE.fullmatch(text) for text in texts]
    if figures[0] is None or figures[1] is None or figures[0][2] != figures[1][2]:
        return None
    low, high = (Fraction(match[1].replace(",", "")) for match in figures if match)
    return low < high


def _leaves(path: Path, value: Any) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _leaves((*path, key), inner)
    elif value is not None:
        yield path, value


def _value_at(value: Any, path: Path) -> Any:
    for step in path:
        if not isinstance(value, Mapping) or step not in value:
            return None
        value = value[step]
    return value
