"""Whether a published figure stands there better than before. Pure.

Better is meant by the key: more tread, lining or charge, a thinner drum, less water, fewer miles. Where a key has no
better and worse (a date code, a size, what a part had when new), any other value of the same day is a correction.
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
"""Keys under which more is left, or stronger, or younger. A tread or a pad may be one figure or several by place."""
SMALLER_IS_BETTER = {"drum", "rotor_discard", "rated", "moisture", "freezes_at", "reading", "reads_to"}
NO_FIGURE = {"note", "pressure", "tested_on", "measured_on", "read_on", "rested_hours", "name"}
"""Keys that may change from day to day, or are words: told, and no more."""
WORSE_STATEMENTS = {"not actual", "exceeds mechanical limits"}
"""Of the odometer: to say one of these instead is no better."""

Path = tuple[str, ...]


def better_figures(old: Any, new: Any, path: Path) -> Iterator[tuple[Path, Any, Any]]:
    """Yield the figures of a part that are gone or better: where, what stood there, what does now (None if gone)."""
    for at, before in _leaves(path, old):
        if NO_FIGURE & set(at):
            continue
        after = _at(new, at[len(path) :])
        if after is None or is_better(at, before, after):
            yield at, before, after


def is_better(path: Path, before: Any, after: Any) -> bool:
    """Tell whether a value stands there better than before, or is another where nobody can tell which is better."""
    if _is_same(before, after) or (path[-1] == "statement" and after in WORSE_STATEMENTS):
        return False
    key = next((step for step in reversed(path) if step in LARGER_IS_BETTER | SMALLER_IS_BETTER), None)
    order = is_less(before, after)
    if key is None or order is None:
        return True
    return order if key in LARGER_IS_BETTER else bool(is_less(after, before))


def is_less_or_other(one: Any, other: Any) -> bool:
    """Tell whether a figure is less than another, or cannot be compared with it."""
    return one != other and is_less(one, other) is not False


def _is_same(before: Any, after: Any) -> bool:
    """Tell whether two values are one; a day may be told more exactly."""
    days = str(before), str(after)
    return before == after or (all(_DAY.fullmatch(day) for day in days) and days[1].startswith(days[0]))


_KINDS = (Depth, Length, Distance, Temperature)
_FIGURE = re.compile(r"\s*(-?\d[\d,]*(?:\.\d+)?)\s*(.*?)\s*", re.DOTALL)
_DAY = re.compile(r"\d{4}(-\d\d){0,2}", re.ASCII)


def is_less(one: Any, other: Any) -> bool | None:
    """Tell whether a figure is less than another, as records write them; None where the two cannot be compared."""
    texts = str(one), str(other)
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
    low, high = (Fraction(found[1].replace(",", "")) for found in figures if found)
    return low < high


def _leaves(path: Path, value: Any) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _leaves((*path, key), inner)
    elif value is not None:
        yield path, value


def _at(value: Any, path: Path) -> Any:
    for step in path:
        if not isinstance(value, Mapping) or step not in value:
            return None
        value = value[step]
    return value
