"""What was disclosed and is now gone, smaller or better, with no word of why. Pure.

What was put right or renewed since is told under the work done; what was published by mistake is told in `history`,
with `about` naming it. Anything else that a page once told of may not go without a word. An inspection that became an
earlier one is still told, so it is held against what is kept of it, not against the new one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.ledger.better import better_figures, is_less_or_other
from sitegen.ledger.changes import Facts, written

MEASURED = ("tires", "brakes", "battery", "brake_fluid", "coolant", "traction_battery", "odometer")
BY_WHEEL = ("tires", "brakes")
PAPERS = {
    "services": ("service", "done_on", "at"),
    "work_done": ("on", "renews", "settles"),
    "earlier_readings": ("reading", "read_on"),
}
"""Lists of bills and work; an entry with other words is the same one while these keys of it are."""
TERMS = ("as is", "implied warranties only")
"""Terms of sale that need no words, the least for the buyer first; a warranty is more than either."""


@dataclass(frozen=True)
class Loss:
    """Something that was published and is not there any more as it was."""

    about: str
    """The name by which `history` speaks of it: `defects.sill-rust`, `tires.left_front`, `title`."""
    words: str
    """What stood there, and what does now."""


def losses(old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return what was disclosed and is gone, smaller or better, without a word under work done or in history."""
    renewed = {name for work in _added(old, new, "work_done") for name in work.get("renews", ())}
    found = [*_of_inspections(old, new)]
    found += _of_papers(old, new)
    found += _of_promises(old, new)
    found += _of_offer(old, new)
    found += [Loss("history", f"told of {written(event.get('what'))}") for event in _removed(old, new, "history")]
    return tuple(
        loss
        for loss in without_answered(found, old, new)
        if not any(_speaks_of(loss.about, name) for name in renewed)
    )


def without_answered(found: list[Loss], old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return the losses that no event, new in `history`, speaks of."""
    answered = {name for event in _added(old, new, "history") for name in event.get("about", ())}
    return tuple(loss for loss in found if not any(_speaks_of(name, loss.about) for name in answered))


def kept_inspections(facts: Facts) -> dict[str | None, Facts]:
    """Return the earlier inspections that facts tell of, by their day."""
    return {day_of(before): before for before in facts.get("earlier_inspections", ())}


def day_of(facts: Facts) -> str | None:
    """Return the day of the inspection that facts tell of."""
    day: str | None = facts.get("inspection", {}).get("done_on")
    return day


def _of_inspections(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield what is gone or better of each inspection, held against what is there, or is kept, of that inspection."""
    kept, today = kept_inspections(new), day_of(new)
    for before in (old, *old.get("earlier_inspections", ())):
        day = day_of(before)
        if day in kept:
            yield from _inspected(before, kept[day])
        elif day == today:
            yield from _inspected(before, new)
        else:
            yield Loss(
                f"inspections.{day}", f"told of the inspection of {day}, which is kept in inspections/ no more"
            )
            if before is old:
                yield from _inspected(before, new)


def _inspected(old: Facts, new: Facts) -> Iterator[Loss]:
    yield from _of_defects(old, new)
    yield from _of_checks(old, new)
    yield from _of_figures(old, new)
    yield from _of_paint(old, new)


def _speaks_of(name: str, about: str) -> bool:
    return name == about or name.startswith(f"{about}.")


def _in_one_language(text: Any) -> Any:
    """Return a text of several languages in the first of them."""
    return next(iter(text.values()), "") if isinstance(text, dict) else text


def _of_defects(old: Facts, new: Facts) -> Iterator[Loss]:
    now = {defect["id"]: defect for defect in new.get("defects", [])}
    worst = ("looks", "function", "safety")
    for defect in old.get("defects", []):
        name, told = (
            f"defects.{defect['id']}",
            f"{defect.get('kind')}, {written(_in_one_language(defect.get('words', '')))}",
        )
        if defect["id"] not in now:
            yield Loss(name, f"was listed: {told}")
            continue
        other = now[defect["id"]]
        if worst.index(other["affects"]) < worst.index(defect["affects"]):
            yield Loss(name, f"affected {defect['affects']}; now {other['affects']}")
        if other.get("kind") != defect.get("kind"):
            yield Loss(name, f"was {defect.get('kind')}; now {other.get('kind')}")
        for key in ("size", "rusted", "count"):
            before, after = defect.get(key), other.get(key)
            if before is not None and (after is None or is_less_or_other(after, before)):
                now_told = written(after) if after is not None else "none"
                yield Loss(name, f"{key} was {written(before)}; now {now_told}")


def _of_checks(old: Facts, new: Facts) -> Iterator[Loss]:
    for point, check in old.get("checks", {}).items():
        before, after = _finding(check), _finding(new.get("checks", {}).get(point))
        if before == "attention" and after != "attention":
            yield Loss(f"checks.{point}", f"needed attention; now {after or 'not mentioned'}")
        elif before == "good" and after is None:
            yield Loss(f"checks.{point}", "was good; now not mentioned")


def _of_figures(old: Facts, new: Facts) -> Iterator[Loss]:
    parts = [(part,) for part in MEASURED]
    for path in [*parts, ("inspection", "gauges")]:
        before, after = old.get(path[0]), new.get(path[0])
        if path[1:]:
            before, after = (one.get(path[1]) if one else None for one in (before, after))
        for at, was, now in better_figures(before, after, path):
            about = ".".join(at[:2]) if path[0] in BY_WHEEL else path[0]
            now_told = "not there" if now is None else written(now)
            yield Loss(about, f"{'.'.join(at)} was {written(was)}; now {now_told}")


def _of_paint(old: Facts, new: Facts) -> Iterator[Loss]:
    now = [(reading.get("panel"), reading.get("readings")) for reading in new.get("paint", [])]
    for reading in old.get("paint", []):
        if (reading.get("panel"), reading.get("readings")) not in now:
            panel, figures = written(reading.get("panel")), ", ".join(reading.get("readings", ()))
            yield Loss("paint", f"measured at {panel}: {figures}; now otherwise or not there")


def _of_papers(old: Facts, new: Facts) -> Iterator[Loss]:
    brands = (old.get("title", {}).get("brand"), new.get("title", {}).get("brand"))
    is_branded_now = _is_none(brands[0]) and brands[1] is not None
    if brands[0] is not None and brands[1] != brands[0] and not is_branded_now:
        yield Loss("title", f"brand was {written(brands[0])}; now {written(brands[1]) if brands[1] else 'not there'}")
    if old.get("recalls") and not new.get("recalls"):
        yield Loss("recalls", f"were looked up on {old['recalls'].get('checked_on')}; now not there")
    before, after = old.get("recalls", {}).get("open", []), new.get("recalls", {}).get("open", [])
    for recall in before:
        if not any(_what(recall) == _what(other) for other in after):
            yield Loss("recalls", f"told of an open recall: {written(_what(recall))}")
    for key, same in PAPERS.items():
        now = new.get(key, [])
        for entry in old.get(key, []):
            if not any(_is_same_entry(entry, other, same) for other in now):
                told = ", ".join(written(value) for value in entry.values() if isinstance(value, str))
                yield Loss(key, f"told of {told or written(entry)}")


def _of_promises(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield a promise that is gone, unless the work done since speaks of the same."""
    done = [{*work.get("settles", ()), *work.get("renews", ())} for work in new.get("work_done", [])]
    for promise in _removed(old, new, "before_delivery"):
        named = {*promise.get("settles", ()), *promise.get("renews", ())}
        same_words = any(work.get("what") == promise.get("what") for work in new.get("work_done", []))
        if not same_words and not (named and any(named <= work for work in done)):
            yield Loss("before_delivery", f"promised: {written(promise.get('what'))}")


def _of_offer(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield what was offered with the vehicle and is less now, and a vehicle that is another."""
    terms, now = old.get("sale_terms"), new.get("sale_terms")
    if terms is not None and _worth(now) < _worth(terms):
        yield Loss("sale_terms", f"were {written(terms)}; now {written(now)}")
    if old.get("not_for_road_use") and not new.get("not_for_road_use"):
        yield Loss("not_for_road_use", "was sold for parts or off-road use only; now it is not")
    if old.get("vin") is not None and new.get("vin") != old["vin"]:
        yield Loss("vin", f"was {old['vin']}; now {new.get('vin')}")


def _worth(terms: Any) -> int:
    return TERMS.index(terms) if terms in TERMS else len(TERMS) if terms else -1


def _added(old: Facts, new: Facts, key: str) -> list[Mapping[str, Any]]:
    before = old.get(key, [])
    return [entry for entry in new.get(key, []) if entry not in before]


def _removed(old: Facts, new: Facts, key: str) -> list[Mapping[str, Any]]:
    return _added(new, old, key)


def _finding(check: Any) -> str | None:
    return check.get("finding") if isinstance(check, Mapping) else check


def _is_none(brand: Any) -> bool:
    return brand in ("none", [])


def _what(recall: Any) -> Any:
    return recall.get("what") if isinstance(recall, Mapping) else recall


def _is_same_entry(entry: Mapping[str, Any], other: Mapping[str, Any], keys: tuple[str, ...]) -> bool:
    return all(entry.get(key) == other.get(key) for key in keys) or (
        "what" in entry and entry["what"] == other.get("what") and entry.get("on") == other.get("on")
    )
