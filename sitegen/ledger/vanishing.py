"""What was disclosed and is now gone, smaller or better, with no word of why. Pure.

What was put right or renewed since is told under the work done; what was published by mistake is told in `history`,
with `about` naming it. Anything else that a page once told of may not go without a word. An inspection that became an
earlier one is still told, so it is held against what is kept of it, not against the new one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sitegen.ledger.changes import Facts, written
from sitegen.records.quantities import Depth

LARGER_IS_BETTER = {"tread", "pads", "shoes", "rotor", "tested"}
"""Keys of figures under which more is left, or stronger. A tread or a pad may be one figure or several by place."""
SMALLER_IS_BETTER = {"drum", "moisture", "freezes_at", "reading"}
MEASURED = ("tires", "brakes", "battery", "brake_fluid", "coolant", "traction_battery", "odometer")
PAPERS = ("title", "recalls")


@dataclass(frozen=True)
class Loss:
    """Something that was published and is not there any more as it was."""

    about: str
    """The name by which `history` speaks of it: `defects.sill-rust`, `tires.left_front`, `title`."""
    words: str
    """What stood there, and what does now."""


def losses(old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return what was disclosed and is gone, smaller or better, without a word under work done or in history."""
    answered = {name for event in _added(old, new, "history") for name in event.get("about", ())}
    renewed = {name for work in _added(old, new, "work_done") for name in work.get("renews", ())}
    kept = {_day_of(before): before for before in new.get("earlier_inspections", ())}
    found = list(_inspected(old, kept.get(_day_of(old), new)))
    for before in old.get("earlier_inspections", ()):
        found += _inspected(before, kept.get(_day_of(before), {}))
    found += _of_papers(old, new)
    found += _of_promises(old, new)
    found += [Loss("history", f"told of {written(event.get('what'))}") for event in _removed(old, new, "history")]
    return tuple(
        loss
        for loss in found
        if not any(_speaks_of(name, loss.about) for name in answered)
        and not any(_speaks_of(loss.about, name) for name in renewed)
    )


def _inspected(old: Facts, new: Facts) -> Iterator[Loss]:
    yield from _of_defects(old, new)
    yield from _of_checks(old, new)
    yield from _of_figures(old, new)


def _day_of(facts: Facts) -> str | None:
    day: str | None = facts.get("inspection", {}).get("done_on")
    return day


def _speaks_of(name: str, about: str) -> bool:
    return name == about or name.startswith(f"{about}.")


def _of_defects(old: Facts, new: Facts) -> Iterator[Loss]:
    now = {defect["id"]: defect for defect in new.get("defects", [])}
    worst = ("looks", "function", "safety")
    for defect in old.get("defects", []):
        name, told = f"defects.{defect['id']}", f"{defect.get('kind')}, {written(defect.get('words', ''))}"
        if defect["id"] not in now:
            yield Loss(name, f"was listed: {told}")
            continue
        other = now[defect["id"]]
        if worst.index(other["affects"]) < worst.index(defect["affects"]):
            yield Loss(name, f"affected {defect['affects']}; now {other['affects']}")
        for key in ("size", "rusted", "count"):
            before, after = defect.get(key), other.get(key)
            if before is not None and (after is None or _is_less(after, before)):
                yield Loss(
                    name, f"{key} was {written(before)}; now {written(after) if after is not None else 'none'}"
                )


def _of_checks(old: Facts, new: Facts) -> Iterator[Loss]:
    for point, check in old.get("checks", {}).items():
        before, after = _finding(check), _finding(new.get("checks", {}).get(point))
        if before == "attention" and after != "attention":
            yield Loss(f"checks.{point}", f"needed attention; now {after or 'not mentioned'}")
        elif before == "good" and after is None:
            yield Loss(f"checks.{point}", "was good; now not mentioned")


def _of_figures(old: Facts, new: Facts) -> Iterator[Loss]:
    for part in MEASURED:
        for path, before in _leaves((part,), old.get(part)):
            key = next((step for step in reversed(path) if step in LARGER_IS_BETTER | SMALLER_IS_BETTER), None)
            if key is None:
                continue
            after = _at(new, path)
            better = after is None or (
                _is_less(before, after) if key in LARGER_IS_BETTER else _is_less(after, before)
            )
            if better:
                about = ".".join(path[:2]) if part in ("tires", "brakes") else part
                now = "not there" if after is None else written(after)
                yield Loss(about, f"{'.'.join(path)} was {written(before)}; now {now}")


def _of_papers(old: Facts, new: Facts) -> Iterator[Loss]:
    brands = (old.get("title", {}).get("brand"), new.get("title", {}).get("brand"))
    if brands[0] is not None and brands[1] != brands[0] and not _is_none(brands[0]):
        yield Loss("title", f"brand was {written(brands[0])}; now {written(brands[1]) if brands[1] else 'not there'}")
    before, after = old.get("recalls", {}).get("open", []), new.get("recalls", {}).get("open", [])
    for recall in before:
        if recall not in after:
            yield Loss("recalls", f"told of an open recall: {written(recall)}")


def _of_promises(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield a promise that is gone, unless the work done since speaks of the same."""
    done = [{*work.get("settles", ()), *work.get("renews", ())} for work in new.get("work_done", [])]
    for promise in _removed(old, new, "before_delivery"):
        named = {*promise.get("settles", ()), *promise.get("renews", ())}
        same_words = any(work.get("what") == promise.get("what") for work in new.get("work_done", []))
        if not same_words and not (named and any(named <= work for work in done)):
            yield Loss("before_delivery", f"promised: {written(promise.get('what'))}")


def _added(old: Facts, new: Facts, key: str) -> list[Mapping[str, Any]]:
    before = old.get(key, [])
    return [entry for entry in new.get(key, []) if entry not in before]


def _removed(old: Facts, new: Facts, key: str) -> list[Mapping[str, Any]]:
    return _added(new, old, key)


def _finding(check: Any) -> str | None:
    return check.get("finding") if isinstance(check, Mapping) else check


def _is_none(brand: Any) -> bool:
    return brand in ("none", [])


def _leaves(path: tuple[str, ...], value: Any) -> Iterator[tuple[tuple[str, ...], Any]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _leaves((*path, key), inner)
    elif value is not None:
        yield path, value


def _at(facts: Facts, path: tuple[str, ...]) -> Any:
    value: Any = facts
    for step in path:
        if not isinstance(value, Mapping) or step not in value:
            return None
        value = value[step]
    return value


_FIGURE = re.compile(r"\s*(-?\d[\d,]*(?:\.\d+)?)\s*(.*?)\s*", re.DOTALL)


def _is_less(one: Any, other: Any) -> bool:
    """Tell whether a figure is less than another, as records write them; False where the two cannot be compared."""
    depths = [_depth(each) for each in (one, other)]
    if depths[0] is not None and depths[1] is not None:
        return depths[0] < depths[1]
    figures = [_FIGURE.fullmatch(str(each)) for each in (one, other)]
    if figures[0] is None or figures[1] is None or figures[0][2] != figures[1][2]:
        return False
    low, high = (Fraction(found[1].replace(",", "")) for found in figures if found)
    return low < high


def _depth(value: Any) -> Fraction | None:
    try:
        return Fraction(Depth.parse(str(value)).millimetres)
    except ValueError:
        return None
