"""Find disclosures that are gone, smaller or better than published, without a stated reason. Pure.

Reasons are: work that repaired or renewed the part since, or an event in `history` whose `about` names the mistake.
What an earlier look disclosed is still disclosed, so it is compared with the state of its day and not with the
current one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.ledger.differences.changes import Facts, written
from sitegen.ledger.differences.figure_order import better_figures, is_less_or_other

MEASURED = ("tires", "brakes", "battery", "brake_fluid", "coolant", "traction_battery", "odometer")
BY_WHEEL = ("tires", "brakes")
PAPERS = {
    "services": ("service", "done_on", "at"),
    "work_done": ("on", "renews", "settles"),
    "earlier_readings": ("reading", "read_on"),
}
"""Lists of bills and work. Entries match if these keys are equal, even if their texts differ."""
TERMS = ("as is", "implied warranties only")
"""Terms of sale without further text, worst for the buyer first. A warranty is better than either."""


@dataclass(frozen=True)
class Loss:
    """A published value that is gone or has changed."""

    about: str
    """Its path for `history`: `defects.sill-rust`, `tires.left_front`, `title`."""
    words: str
    """The old value, and the new one."""


def removed_disclosures(old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return each disclosure that is gone, smaller or better, unless work or an event in `history` explains it."""
    done = _added(old, new, "work_done")
    renewed = {name for work in done for name in work.get("renews", ())}
    renewed |= {f"defects.{name}" for work in done for name in work.get("settles", ())}
    candidates = [*_of_inspections(old, new)]
    candidates += _of_papers(old, new)
    candidates += _of_promises(old, new)
    candidates += _of_offer(old, new)
    candidates += [
        Loss("history", f"listed the event: {written(event.get('what'))}") for event in _removed(old, new, "history")
    ]
    return tuple(
        loss
        for loss in without_answered(candidates, old, new)
        if not any(_is_within(loss.about, name) for name in renewed)
    )


def without_answered(losses: list[Loss], old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return the losses that no new event in `history` mentions."""
    explained = {name for event in _added(old, new, "history") for name in event.get("about", ())}
    return tuple(loss for loss in losses if not any(_is_within(name, loss.about) for name in explained))


def earlier_inspections(facts: Facts) -> dict[str | None, Facts]:
    """Return the earlier inspections in the facts, by day."""
    return {inspection_day(before): before for before in facts.get("earlier_inspections", ())}


def inspection_day(facts: Facts) -> str | None:
    """Return the day of the inspection in the facts, or None."""
    day: str | None = facts.get("inspection", {}).get("done_on")
    return day


def _of_inspections(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield losses within each inspection, compared with its current or stored version."""
    stored, today = earlier_inspections(new), inspection_day(new)
    for before in (old, *old.get("earlier_inspections", ())):
        day = inspection_day(before)
        if day in stored:
            yield from _inspected(before, stored[day])
        elif day == today:
            yield from _inspected(before, new)
        else:
            yield Loss(f"inspections.{day}", f"was looked at on {day}; now no look of that day")
            if before is old:
                yield from _inspected(before, new)


def _inspected(old: Facts, new: Facts) -> Iterator[Loss]:
    yield from _of_defects(old, new)
    yield from _of_checks(old, new)
    yield from _of_figures(old, new)
    yield from _of_paint(old, new)


def _is_within(name: str, about: str) -> bool:
    """Return whether a path equals another or lies below it."""
    return name == about or name.startswith(f"{about}.")


def _in_one_language(text: Any) -> Any:
    """Return a text in its first language."""
    return next(iter(text.values()), "") if isinstance(text, dict) else text


def _of_defects(old: Facts, new: Facts) -> Iterator[Loss]:
    now = {defect["id"]: defect for defect in new.get("defects", [])}
    worst = ("looks", "function", "safety")
    for defect in old.get("defects", []):
        name, description = (
            f"defects.{defect['id']}",
            f"{defect.get('kind')}, {written(_in_one_language(defect.get('words', '')))}",
        )
        if defect["id"] not in now:
            yield Loss(name, f"was listed: {description}")
            continue
        other = now[defect["id"]]
        if worst.index(other["affects"]) < worst.index(defect["affects"]):
            yield Loss(name, f"affected {defect['affects']}; now {other['affects']}")
        if other.get("kind") != defect.get("kind"):
            yield Loss(name, f"was {defect.get('kind')}; now {other.get('kind')}")
        for key in ("size", "rusted", "count"):
            before, after = defect.get(key), other.get(key)
            if before is not None and (after is None or is_less_or_other(after, before)):
                new_value = written(after) if after is not None else "none"
                yield Loss(name, f"{key} was {written(before)}; now {new_value}")


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
            before, after = (facts.get(path[1]) if facts else None for facts in (before, after))
        for at, was, now in better_figures(before, after, path):
            about = ".".join(at[:2]) if path[0] in BY_WHEEL else path[0]
            new_value = "not there" if now is None else written(now)
            yield Loss(about, f"{'.'.join(at)} was {written(was)}; now {new_value}")


def _of_paint(old: Facts, new: Facts) -> Iterator[Loss]:
    now = [(reading.get("panel"), reading.get("readings")) for reading in new.get("paint", [])]
    for reading in old.get("paint", []):
        if (reading.get("panel"), reading.get("readings")) not in now:
            panel, figures = written(reading.get("panel")), ", ".join(reading.get("readings", ()))
            yield Loss("paint", f"measured at {panel}: {figures}; now changed or not there")


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
            yield Loss("recalls", f"listed an open recall: {written(_what(recall))}")
    for key, same in PAPERS.items():
        now = new.get(key, [])
        for entry in old.get(key, []):
            if not any(_is_same_entry(entry, other, same) for other in now):
                description = ", ".join(written(value) for value in entry.values() if isinstance(value, str))
                yield Loss(key, f"listed {description or written(entry)}")


def _of_promises(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield a loss for each promise that is gone.

    Work that has its words, or repairs or renews the same things, answers it.
    """
    done = [{*work.get("settles", ()), *work.get("renews", ())} for work in new.get("work_done", [])]
    for promise in _removed(old, new, "before_delivery"):
        named = {*promise.get("settles", ()), *promise.get("renews", ())}
        same_words = any(work.get("what") == promise.get("what") for work in new.get("work_done", []))
        if not same_words and not (named and any(named <= work for work in done)):
            yield Loss("before_delivery", f"promised: {written(promise.get('what'))}")


def _of_offer(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield an offer that became worse for the buyer, and a changed VIN."""
    terms, now = old.get("sale_terms"), new.get("sale_terms")
    if terms is not None and (_worth(now) < _worth(terms) or _coverages(terms) - _coverages(now)):
        yield Loss("sale_terms", f"were {written(terms)}; now {written(now)}")
    if old.get("not_for_road_use") and not new.get("not_for_road_use"):
        yield Loss("not_for_road_use", "was sold for parts or off-road use only; now it is not")
    if old.get("vin") is not None and new.get("vin") != old["vin"]:
        yield Loss("vin", f"was {old['vin']}; now {new.get('vin')}")


def _worth(terms: Any) -> int:
    """Return the rank of the dealer's own terms: a warranty above implied warranties above as is; none is -1."""
    listed = terms if isinstance(terms, list) else [terms]
    ranks = [TERMS.index(term) if term in TERMS else len(TERMS) for term in listed if term and _is_dealers(term)]
    return max(ranks, default=-1)


def _is_dealers(term: Any) -> bool:
    return isinstance(term, Mapping) or term in TERMS


def _coverages(terms: Any) -> set[str]:
    """Return the warranties and contracts besides the dealer's own terms."""
    return {term for term in terms if not _is_dealers(term)} if isinstance(terms, list) else set()


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
