"""What lies between two versions of what is disclosed of a vehicle: every key that differs is told. Pure.

What a buyer decides by has a sentence with both figures; of all else the page says under which heading it is.
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
    day_of_fact,
    difference,
    named_otherwise,
    part_of,
    text_of,
    things_of,
    unlike,
)

Tell = Callable[[Facts, Facts], Iterator[PublishedDifference]]
SOLD = "sold"


def differences(old: Facts, new: Facts) -> tuple[PublishedDifference, ...]:
    """Return what is new, other or gone: status and price first, then in the order of the page."""
    keys = {key for key in {*old, *new} if old.get(key, ...) != new.get(key, ...)}
    found: list[PublishedDifference] = []
    for key in [*(key for key in _TOLD if key in keys), *sorted(keys - _TOLD.keys())]:
        if key == "sold_on" and "status" in keys:
            continue  # told with the status
        told = tuple(_TOLD[key](old, new)) if key in _TOLD else ()
        found += told or (() if _is_quiet(key, old, new) else (difference(key, "kept.other"),))
    return tuple(found)


def _is_quiet(key: str, old: Facts, new: Facts) -> bool:
    """Tell whether nothing needs to be said: what is sold has no price, and some is told by another key."""
    match key:
        case "price":
            return SOLD in (old.get("status"), new.get("status"))
        case "earlier_inspections":
            return part_of(old, "inspection").get("done_on") != part_of(new, "inspection").get("done_on")
    return key == "formerly"


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
    words = [
        Word(f"terms.{_key(terms) if isinstance(terms, str) else 'warranty'}")
        for terms in _both("sale_terms", old, new)
    ]
    if words[0] != words[1]:
        yield difference("sale_terms", "kept.changed_to", "papers", now=words[1], was=words[0])
    else:
        yield named_otherwise("sale_terms", words[1].key, "papers")


def _title(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    was, now = (part_of(facts, "title").get("brand") for facts in (old, new))
    if now not in (None, "none") and now != was:
        yield difference("title", "kept.brand", "papers", is_new=True, now=text_of(now))
    elif was not in (None, "none") and now != was:
        yield difference("title", "kept.brand_gone", "papers", was=text_of(was))
    else:
        yield named_otherwise("title", "papers.title", "papers")


def _recalls(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    gone, added = unlike(*(things_of(part_of(facts, "recalls"), "open") for facts in (old, new)))
    for recall in added:
        yield difference("recalls", "kept.recall", "papers", is_new=True, what=text_of(recall.get("what")))
    for recall in gone:
        yield difference("recalls", "kept.recall_gone", "papers", what=text_of(recall.get("what")))
    if not added and not gone:
        yield named_otherwise("recalls", "papers.recalls", "papers")


def _inspection(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    was, now = (day_of_fact(part_of(facts, "inspection").get("done_on")) for facts in (old, new))
    if now is not None and now != was:
        yield difference("inspection", "kept.inspected", "measured", is_new=True, on=now)
    else:
        yield named_otherwise("inspection", "section.measured", "measured")


def _earlier(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    if not _is_quiet("earlier_inspections", old, new):
        yield named_otherwise("earlier_inspections", "since.heading", "since", "measured")


def _listed(
    key: str, added_key: str, gone_key: str, *places: str, heading: str, old: Facts, new: Facts
) -> Iterator[PublishedDifference]:
    """Yield each thing of a list by its words, where there are new ones or some are gone."""
    gone, added = unlike(*(things_of(facts, key) for facts in (old, new)))
    whats = [thing.get("what") for thing in added], [thing.get("what") for thing in gone]
    new_ones, gone_ones = unlike(whats[1], whats[0])[1], unlike(whats[1], whats[0])[0]
    for what in new_ones:
        yield difference(key, added_key, *places, is_new=True, what=text_of(what))
    for what in gone_ones:
        yield difference(key, gone_key, *places, what=text_of(what))
    if not new_ones and not gone_ones:
        yield named_otherwise(key, heading, *places)


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
    gone, added = unlike(*(things_of(facts, "services") for facts in (old, new)))
    for service in dict.fromkeys(str(one.get("service")) for one in (*added, *gone)):
        yield difference(
            "services",
            "kept.service",
            f"outlook-{_key(service).replace('_', '-')}",
            "outlook",
            item=Word(f"item.{service}"),
        )


def _photos(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    before, after = ([photo.get("shows") for photo in things_of(facts, "photos")] for facts in (old, new))
    gone, added = unlike(before, after)
    if added:
        yield difference("photos", "history.photos", "photos", is_new=True, count=len(added))
    elif gone:
        yield difference("photos", "kept.photos_gone", "photos", count=len(gone))
    else:
        yield named_otherwise("photos", "section.photos", "photos")


def _walk_around(old: Facts, _new: Facts) -> Iterator[PublishedDifference]:
    if "walk_around" not in old:
        yield difference("walk_around", "kept.film", "video", is_new=True)
    else:
        yield named_otherwise("walk_around", "section.video", "video")


def _heading(key: str, heading: str, *places: str) -> Tell:
    return lambda _old, _new: iter((named_otherwise(key, heading, *places),))


def _both(key: str, old: Facts, new: Facts) -> tuple[Any, Any]:
    return old.get(key), new.get(key)


def _key(words: Any) -> str:
    return str(words).replace(" ", "_")


_TOLD: dict[str, Tell] = {
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
    "walk_around": _walk_around,
    "work_done": _work_done,
    "before_delivery": _promised,
    "equipment": _heading("equipment", "section.equipment", "equipment"),
    "additions": _heading("additions", "additions.heading", "equipment"),
    "photos": _photos,
}
"""What tells of each key, in the order in which a reader wants to know."""
