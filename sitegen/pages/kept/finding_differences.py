"""Compare defects, check points and the page's history of two versions. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sitegen.condition.basis.values import Word
from sitegen.pages.kept.difference import (
    Facts,
    PublishedDifference,
    Words,
    day_of_fact,
    difference,
    figure_of,
    names_of,
    part_of,
    removed_and_added,
    section_difference,
    text_of,
    things_of,
)
from sitegen.records.quantities import Length

ATTENTION, GOOD, NOT_CHECKED = "attention", "good", "not checked"
_ASIDE = ("photos", "size", "affects", "done")
"""The keys of a defect that have their own message."""


def defects(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield a difference for every defect that was added, changed or removed.

    If no defect differs, yield the general difference that the statement "none" was added or removed: call it only if
    the facts differ.
    """
    before = {str(defect.get("id")): defect for defect in things_of(old, "defects")}
    after = {str(defect.get("id")): defect for defect in things_of(new, "defects")}
    answered = set(_answered(new))
    for name, defect in after.items():
        words, was = text_of(defect.get("words")), before.get(name)
        if was is None:
            yield difference("defects", "since.new_defect", name, "defects", is_new=True, words=words)
        elif was != defect:
            yield from _changed_defect(name, was, defect)
    for name, defect in before.items():
        if name not in after:
            key = "since.put_right" if f"defects.{name}" in answered else "kept.defect_gone"
            yield difference("defects", key, "defects", words=text_of(defect.get("words")))
    if before == after:  # Only the statement that there are no defects was added or removed.
        yield section_difference("defects", "section.defects", "defects")


def _changed_defect(name: str, was: Facts, now: Facts) -> list[PublishedDifference]:
    """Return the differences of one defect that both versions have."""
    words, places = text_of(now.get("words")), (name, "defects")
    changes: list[PublishedDifference] = []
    if was.get("affects") != now.get("affects"):
        new_effect, old_effect = (Word(f"affects.{defect.get('affects')}") for defect in (now, was))
        changes.append(difference("defects", "kept.affects", *places, now=new_effect, was=old_effect, words=words))
    old_size, new_size = (figure_of(Length, defect.get("size")) for defect in (was, now))
    if old_size is not None and new_size is not None and old_size != new_size:
        changes.append(difference("defects", "since.size", *places, now=new_size, was=old_size, words=words))
    done = now.get("done")
    if was.get("done") != done and done is not None and done != "left as it is":
        changes.append(difference("defects", "kept.done", *places, done=text_of(done), words=words))
    old_rest, new_rest = ({key: value for key, value in defect.items() if key not in _ASIDE} for defect in (was, now))
    if old_rest != new_rest or not (changes or was.get("photos") != now.get("photos")):
        changes.append(difference("defects", "kept.defect_told", *places, words=words))
    added = len(removed_and_added(_captions(was), _captions(now))[1])
    if added:
        changes.append(difference("defects", "kept.defect_photos", *places, count=added, words=words))
    elif was.get("photos") != now.get("photos"):
        changes.append(difference("defects", "kept.defect_other_photos", *places, words=words))
    return changes


def _captions(defect: Facts) -> list[Any]:
    return [photo.get("shows") for photo in things_of(defect, "photos")]


def checks(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield the changed check points: one difference for each change from or to "attention", the others grouped."""
    before, after = part_of(old, "checks"), part_of(new, "checks")
    alike: dict[tuple[str, str], list[Word]] = {}
    noted: list[Word] = []
    for point in sorted({*before, *after}):
        was, now = _finding(before.get(point)), _finding(after.get(point))
        word = Word(f"point.{point}")
        place = part_of(after.get(point)).get("defect")
        places = (*([str(place)] if place else []), "checks")
        if was != now and ATTENTION in (was, now):
            key = {(GOOD, ATTENTION): "since.needs_attention", (ATTENTION, GOOD): "since.good_now"}.get((was, now))
            if key:
                yield difference("checks", key, *places, point=word)
            else:
                yield difference("checks", "kept.checks", *places, points=word, now=_word(now), was=_word(was))
        elif was != now:
            alike.setdefault((was, now), []).append(word)
        elif before.get(point) != after.get(point):
            noted.append(word)
    for (was, now), points in alike.items():
        named, is_new = Words(tuple(points)), was == NOT_CHECKED
        yield difference(
            "checks", "kept.checks", "checks", is_new=is_new, points=named, now=_word(now), was=_word(was)
        )
    if noted:
        yield difference("checks", "kept.check_notes", "checks", points=Words(tuple(noted)))


def history(old: Facts, new: Facts) -> Iterator[PublishedDifference]:
    """Yield a difference for each new dated entry of the page's history.

    A correction links to the facts that it names. If entries were only removed, yield one general difference.
    """
    gone, added = removed_and_added(things_of(old, "history"), things_of(new, "history"))
    for event in added:
        about, on = names_of(event, "about"), day_of_fact(event.get("on"))
        if on is None:
            continue
        key = "kept.corrected" if about else "kept.event"
        places = (*(place for name in about for place in _places_of(name)), "page-history")
        yield difference("history", key, *places, is_new=True, on=on, what=text_of(event.get("what")))
    if gone and not added:
        yield section_difference("history", "history.heading", "page-history")


def _places_of(about: str) -> tuple[str, ...]:
    """Return the anchors of a fact that a correction names, such as `tires.left_front` or `defects.sill-rust`."""
    part, _, name = about.partition(".")
    if part in ("tires", "brakes"):
        return (f"figure-{part}-{name.replace('_', '-')}", part)
    if part == "defects":
        return (name, "defects")
    return (_SECTIONS.get(part, part.replace("_", "-")),)


_SECTIONS = {
    **dict.fromkeys(("vin", "vehicle", "earlier_readings", "title", "recalls", "sale_terms", "notes"), "papers"),
    **dict.fromkeys(("inspection", "inspections"), "measured"),
    **dict.fromkeys(("brake_fluid", "coolant"), "fluids"),
    **dict.fromkeys(("work_done", "before_delivery"), "work"),
    **dict.fromkeys(("odometer", "not_for_road_use"), "offer"),
    "services": "outlook",
    "additions": "equipment",
    "film": "video",
    "history": "page-history",
}
"""The anchor of each key of the record whose anchor is not its own name."""


def _answered(facts: Facts) -> Iterator[str]:
    """Yield the names of the facts that work or history entries account for."""
    for work in things_of(facts, "work_done"):
        yield from (f"defects.{defect}" for defect in names_of(work, "settles"))
        yield from names_of(work, "renews")
    for event in things_of(facts, "history"):
        yield from names_of(event, "about")


def _finding(check: Any) -> str:
    found = part_of(check).get("finding", check)
    return found if isinstance(found, str) else NOT_CHECKED


def _word(finding: str) -> Word:
    return Word(f"finding.{finding.replace(' ', '_')}")
