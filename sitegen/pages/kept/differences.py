"""Compare two versions of a vehicle's published facts. Every key that differs yields a difference. Pure.

Facts that a buyer decides by get a sentence with the old and the new figure. For all other changes the sentence names
the section of the page that changed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal, InvalidOperation
from functools import partial
from typing import Any

from sitegen.condition.basis.values import Word
from sitegen.pages.kept import figure_differences, finding_differences
from sitegen.pages.kept.difference import (
    Facts,
    Price,
    PublishedDifference,
    Words,
    day_of_fact,
    difference,
    part_of,
    removed_and_added,
    section_difference,
    text_of,
    things_of,
)

Comparer = Callable[[Facts, Facts], Iterator[PublishedDifference]]
SOLD = "sold"


def differences(old: Facts, new: Facts) -> tuple[PublishedDifference, ...]:
    """Return the added, changed and removed facts: status and price first, then in the order of the page."""
    keys = {key for key in {*old, *new} if old.get(key, ...) != new.get(key, ...)}
    changes: list[PublishedDifference] = []
    for key in [*(key for key in _COMPARERS if key in keys), *sorted(keys - _COMPARERS.keys())]:
        if key == "sold_on" and "status" in keys:
            continue  # The difference of the status includes the day of sale.
        of_key = tuple(_COMPARERS[key](old, new)) if key in _COMPARERS else ()
        changes += of_key or (() if _is_quiet(key, old, new) else (difference(key, "kept.other"),))
    return tuple(changes)


def _is_quiet(key: str, old: Facts, new: Facts) -> bool:
    """Return whether a changed key needs no message: the vehicle is sold, or another key's message covers it."""
    match key:
        case "price":
            return SOLD in (old.get("status"), new.get("status"))
        case "earlier_inspections":
            return part_of(old, "inspection").get("done_on") != part_of(new, "inspection").get("done_on")
    return key in ("formerly", "looks")


def _stock(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    yield difference("stock", "kept.stock", now=str(new.get("stock")), was=str(old.get("stock")))


def _status(_old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    sold_on = day_of_fact(new.get("sold_on"))
    if new.get("status") == SOLD and sold_on:
        yield difference("status", "kept.sold_on", "offer", on=sold_on)
    elif new.get("status") is not None:
        yield difference("status", "history.status", "offer", new=Word(f"status.{_key(new['status'])}"))


def _price(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    if old.get("currency") != new.get("currency"):
        return
    was, now = (_amount(facts.get("price")) for facts in (old, new))
    if was is not None and now is not None:
        yield difference("price", "history.price", "offer", new=Price(now), old=Price(was))
    elif now is not None:
        yield difference("price", "kept.price_new", "offer", is_new=True, new=Price(now))
    elif was is not None and new.get("status") != SOLD:
        yield difference("price", "kept.price_gone", "offer", old=Price(was))


def _amount(price: Any) -> Decimal | None:
    try:
        return None if price is None else Decimal(str(price))
    except InvalidOperation:
        return None


def _terms(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    was, now = (_terms_named(terms) for terms in _both("sale_terms", old, new))
    if was != now:
        yield difference("sale_terms", "kept.changed_to", "papers", now=now, was=was)
    else:
        yield section_difference("sale_terms", "papers.terms", "papers")


def _terms_named(terms: Any) -> Words:
    listed = terms if isinstance(terms, list) else [terms]
    return Words(tuple(Word(f"terms.{_key(term) if isinstance(term, str) else 'warranty'}") for term in listed))


def _title(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    was, now = (part_of(facts, "title").get("brand") for facts in (old, new))
    if now not in (None, "none") and now != was:
        yield difference("title", "kept.brand", "papers", is_new=True, now=text_of(now))
    elif was not in (None, "none") and now != was:
        yield difference("title", "kept.brand_gone", "papers", was=text_of(was))
    else:
        yield section_difference("title", "papers.title", "papers")


def _recalls(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    gone, added = removed_and_added(*(things_of(part_of(facts, "recalls"), "open") for facts in (old, new)))
    for recall in added:
        yield difference("recalls", "kept.recall", "papers", is_new=True, what=text_of(recall.get("what")))
    for recall in gone:
        yield difference("recalls", "kept.recall_gone", "papers", what=text_of(recall.get("what")))
    if not added and not gone:
        yield section_difference("recalls", "papers.recalls", "papers")


def _inspection(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    was, now = (day_of_fact(part_of(facts, "inspection").get("done_on")) for facts in (old, new))
    if now is not None and now != was:
        yield difference("inspection", "kept.inspected", "measured", is_new=True, on=now)
    else:
        yield section_difference("inspection", "section.measured", "measured")


def _earlier(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    if not _is_quiet("earlier_inspections", old, new):
        yield section_difference("earlier_inspections", "since.heading", "since", "measured")


def _listed(
    key: str, added_key: str, gone_key: str, *places: str, heading: str, old: Facts, new: Facts
) -> Iterator[PublishedDifference]:
    """Yield a difference for each item that was added to a list or removed from it. Items are compared by `what`."""
    before, after = ([item.get("what") for item in things_of(facts, key)] for facts in (old, new))
    removed, added = removed_and_added(before, after)
    for what in added:
        yield difference(key, added_key, *places, is_new=True, what=text_of(what))
    for what in removed:
        yield difference(key, gone_key, *places, what=text_of(what))
    if not added and not removed:
        yield section_difference(key, heading, *places)


def _work_done(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    return _listed("work_done", "kept.work", "kept.work_gone", "work", heading="section.work", old=old, new=new)


def _promised(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    return _listed(
        "before_delivery",
        "kept.promised",
        "kept.promised_gone",
        "work",
        heading="work.before_delivery",
        old=old,
        new=new,
    )


def _services(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    gone, added = removed_and_added(*(things_of(facts, "services") for facts in (old, new)))
    for service in dict.fromkeys(str(line.get("service")) for line in (*added, *gone)):
        yield difference(
            "services",
            "kept.service",
            f"outlook-{_key(service).replace('_', '-')}",
            "outlook",
            item=Word(f"item.{service}"),
        )


def _photos(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    before, after = ([photo.get("shows") for photo in things_of(facts, "photos")] for facts in (old, new))
    gone, added = removed_and_added(before, after)
    if added:
        yield difference("photos", "history.photos", "photos", is_new=True, count=len(added))
    elif gone:
        yield difference("photos", "kept.photos_gone", "photos", count=len(gone))
    else:
        yield section_difference("photos", "section.photos", "photos")


def _film(old: Facts, _new: Facts) -> Iterator[PublishedDifference]:
    if "film" not in old:
        yield difference("film", "kept.film", "video", is_new=True)
    else:
        yield section_difference("film", "section.video", "video")


def _heading(key: str, heading: str, *places: str) -> Comparer:
    return lambda _old, _new: iter((section_difference(key, heading, *places),))


def _both(key: str, old: Facts, new: Facts) -> tuple[Any, Any]:
    return old.get(key), new.get(key)


def _key(words: Any) -> str:
    return str(words).replace(" ", "_")


_COMPARERS: dict[str, Comparer] = {
    "status": _status,
    "price": _price,
    "sold_on": _status,
    "stock": _stock,
    "history": finding_differences.history,
    "odometer": figure_differences.odometer,
    "not_for_road_use": _heading("not_for_road_use", "section.cautions", "offer"),
    "defects": finding_differences.defects,
    "inspection": _inspection,
    "tires": figure_differences.tires,
    "brakes": figure_differences.brakes,
    **{key: partial(figure_differences.tested, key) for key in figure_differences.TESTED},
    "paint": _heading("paint", "panel.paint", "paint", "measured"),
    "earlier_inspections": _earlier,
    "services": _services,
    "title": _title,
    "recalls": _recalls,
    "sale_terms": _terms,
    "earlier_readings": _heading("earlier_readings", "papers.earlier_readings", "papers"),
    "vehicle": _heading("vehicle", "papers.more", "papers"),
    "vin": _heading("vin", "identity.vin", "papers"),
    "notes": _heading("notes", "notes.heading", "papers"),
    "checks": finding_differences.checks,
    "film": _film,
    "work_done": _work_done,
    "before_delivery": _promised,
    "equipment": _heading("equipment", "section.equipment", "equipment"),
    "additions": _heading("additions", "additions.heading", "equipment"),
    "photos": _photos,
}
"""The function that compares each key, in the order in which the differences are shown."""
