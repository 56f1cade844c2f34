"""What was published and now stands there otherwise, though nothing holds it: told, so that all is seen. Pure.

Price, status and new photos are told by the page itself; what holds the publication is told by `vanishing`. All else
that is gone or another, words and pictures among it, is named here with what stood there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sitegen.ledger.changes import Facts, differences, written
from sitegen.ledger.vanishing import Loss, day_of, kept_inspections, losses, without_answered

BY_THE_PAGE = ("price", "status", "sold_on", "listed_on", "formerly", "history", "earlier_inspections", "photos")
"""What the page tells, or what is looked at in its own way."""
OF_THE_STORE = ("language", "currency")
OF_ONE_DAY = (
    "odometer", "inspection", "tires", "brakes", "brake_fluid", "coolant", "battery", "traction_battery", "paint",
    "checks", "defects",
)  # fmt: skip


def otherwise(old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return what is gone or another without holding anything, unless `history` speaks of it."""
    held = [loss.about for loss in losses(old, new)]
    earlier = kept_inspections(new).get(day_of(old))
    now = new if earlier is None else {**new, **dict.fromkeys(OF_ONE_DAY), **earlier}
    found = [
        *_changed(_compared(old), _compared({key: value for key, value in now.items() if value is not None})),
        *_of_earlier(old, new),
        *_photos(old, new),
        *_film(old, new),
    ]
    return tuple(
        loss
        for loss in without_answered(found, old, new)
        if not any(loss.about == about or loss.about.startswith(f"{about}.") for about in held)
    )


def _compared(facts: Facts) -> dict[str, Any]:
    left_out = (*BY_THE_PAGE, *OF_THE_STORE)
    kept = {key: value for key, value in facts.items() if key not in left_out}
    kept["defects"] = [
        {key: value for key, value in defect.items() if key != "photos"} for defect in facts.get("defects", ())
    ]
    if "walk_around" in kept:
        kept["walk_around"] = {key: value for key, value in kept["walk_around"].items() if key != "sha256"}
    return kept


def _changed(old: Facts, new: Facts) -> Iterator[Loss]:
    for one in differences(old, new):
        if one.is_new:
            continue
        now = "not there" if one.is_gone else written(one.now)
        yield Loss(one.at, f"was {written(one.was)}; now {now}")


def _of_earlier(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield what is told otherwise of inspections that were earlier ones already."""
    kept = kept_inspections(new)
    for day, before in kept_inspections(old).items():
        for loss in _changed(before, kept.get(day, {})):
            yield Loss(f"inspections.{day}.{loss.about}", loss.words)


def _photos(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield the photos that are shown no more, and what is told of the others otherwise: words, rings, cards."""
    now, others = list(_all_photos(new)), 0
    for group, photo in _all_photos(old):
        same = [other for other in now if other[1].get("sha256") == photo.get("sha256")]
        if not same:
            same = [other for other in now if other[1].get("shows") == photo.get("shows")]
            others += bool(same)
        # The same photo may show the vehicle and, with other words and a ring, a defect.
        other = next((other for name, other in same if name == group), None)
        other = other or next((other for _, other in same if other.get("shows") == photo.get("shows")), None)
        if other is None:
            yield Loss("photos", f"showed {_spoken(photo.get('shows'))}; now not there")
            continue
        for one in differences(photo, other):
            if not one.is_new and one.at != "sha256":
                told = "not there" if one.is_gone else written(one.now)
                shows = _spoken(photo.get("shows"))
                yield Loss("photos", f"{one.at} of the photo {shows} was {written(one.was)}; now {told}")
    if others:
        yield Loss("photos", f"{others} are other pictures than were shown")


def _spoken(text: Any) -> str:
    """Return a text in the first of its languages."""
    return written(next(iter(text.values()), "") if isinstance(text, Mapping) else text)


def _all_photos(facts: Facts) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield every photo, with the id of the defect that it shows; with nothing where it shows the vehicle."""
    for photo in facts.get("photos", ()):
        yield "", photo
    for defect in facts.get("defects", ()):
        for photo in defect.get("photos", ()):
            yield defect["id"], photo


def _film(old: Facts, new: Facts) -> Iterator[Loss]:
    before, after = (facts.get("walk_around", {}).get("sha256") for facts in (old, new))
    if before not in (None, after) and "walk_around" in new:
        yield Loss("walk_around", "is another film than was shown")
