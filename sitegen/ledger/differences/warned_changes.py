"""Find changes since the last publication that are warned about but do not block the build. Pure.

The page itself announces changes of price, status and photos, and `removed_disclosures` finds those that block. All
other values that are gone or changed, texts and pictures included, are listed here with the old value.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sitegen.ledger.differences.changes import Facts, differences, written
from sitegen.ledger.differences.removed_disclosures import (
    Loss,
    earlier_inspections,
    inspection_day,
    removed_disclosures,
    without_answered,
)

BY_THE_PAGE = (
    "price", "status", "sold_on", "listed_on", "formerly", "history", "earlier_inspections", "looks",
    "photos",
)  # fmt: skip
"""Keys that the page announces, or that are compared separately."""
OF_THE_STORE = ("language", "currency")
OF_ONE_DAY = (
    "odometer", "inspection", "tires", "brakes", "brake_fluid", "coolant", "battery", "traction_battery", "paint",
    "checks", "defects",
)  # fmt: skip


def warned_changes(old: Facts, new: Facts) -> tuple[Loss, ...]:
    """Return the changes that get a warning: not in `removed_disclosures`, and not named in a new `history` event."""
    blocked = [loss.about for loss in removed_disclosures(old, new)]
    same_inspection = earlier_inspections(new).get(inspection_day(old))
    now = new if same_inspection is None else {**new, **dict.fromkeys(OF_ONE_DAY), **same_inspection}
    candidates = [
        *_changed(_compared(old), _compared({key: value for key, value in now.items() if value is not None})),
        *_of_earlier(old, new),
        *_looks(old, new),
        *_photos(old, new),
        *_film(old, new),
    ]
    return tuple(
        loss
        for loss in without_answered(candidates, old, new)
        if not any(loss.about == about or loss.about.startswith(f"{about}.") for about in blocked)
    )


def _compared(facts: Facts) -> dict[str, Any]:
    left_out = (*BY_THE_PAGE, *OF_THE_STORE)
    compared = {key: value for key, value in facts.items() if key not in left_out}
    compared["defects"] = [
        {key: value for key, value in defect.items() if key != "photos"} for defect in facts.get("defects", ())
    ]
    if "film" in compared:
        compared["film"] = {key: value for key, value in compared["film"].items() if key != "sha256"}
    return compared


def _changed(old: Facts, new: Facts) -> Iterator[Loss]:
    for difference in differences(old, new):
        if difference.is_new:
            continue
        now = "not there" if difference.is_gone else written(difference.now)
        yield Loss(difference.at, f"was {written(difference.was)}; now {now}")


def _of_earlier(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield changes in inspections that were already earlier ones."""
    inspections = earlier_inspections(new)
    for day, before in earlier_inspections(old).items():
        for loss in _changed(before, inspections.get(day, {})):
            yield Loss(f"inspections.{day}.{loss.about}", loss.words)


def _looks(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield a change for each value whose look has another day, odometer or person than published.

    A look is an inspection or a visit. Values that a later look stated again are left out.
    """
    days = {inspection_day(new), *earlier_inspections(new)}
    now: dict[str, list[Mapping[str, Any]]] = {}
    for look in new.get("looks", ()):
        for value in look.get("values", ()):
            now.setdefault(value, []).append(look)
    for look in old.get("looks", ()):
        for value in look.get("values", ()):
            others = now.get(value, ())
            if not any(_head(other) == _head(look) or _is_later(other, look, days) for other in others):
                yield Loss(value, f"was stated on {look.get('on')} ({written(look.get('by', ''))}); now otherwise")


def _head(look: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in look.items() if key != "values"}


def _is_later(look: Mapping[str, Any], before: Mapping[str, Any], days: set[str | None]) -> bool:
    return look.get("on") in days and str(look.get("on")) > str(before.get("on"))


def _photos(old: Facts, new: Facts) -> Iterator[Loss]:
    """Yield photos that are no longer shown, and changes in the texts, marks and cards of the others."""
    now, others = list(_all_photos(new)), 0
    for group, photo in _all_photos(old):
        same = [other for other in now if other[1].get("sha256") == photo.get("sha256")]
        if not same:
            same = [other for other in now if other[1].get("shows") == photo.get("shows")]
            others += bool(same)
        # One photo may appear twice: of the vehicle, and with a different text and mark of a defect.
        other = next((other for name, other in same if name == group), None)
        other = other or next((other for _, other in same if other.get("shows") == photo.get("shows")), None)
        if other is None:
            yield Loss("photos", f"showed {_first_language(photo.get('shows'))}; now not there")
            continue
        for difference in differences(photo, other):
            if not difference.is_new and difference.at != "sha256":
                new_value = "not there" if difference.is_gone else written(difference.now)
                shows = _first_language(photo.get("shows"))
                yield Loss(
                    "photos", f"{difference.at} of the photo {shows} was {written(difference.was)}; now {new_value}"
                )
    if others:
        yield Loss("photos", f"{others} are other pictures than were shown")


def _first_language(text: Any) -> str:
    """Return a text in its first language."""
    return written(next(iter(text.values()), "") if isinstance(text, Mapping) else text)


def _all_photos(facts: Facts) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield each photo with the id of its defect, or with an empty id for a photo of the vehicle."""
    for photo in facts.get("photos", ()):
        yield "", photo
    for defect in facts.get("defects", ()):
        for photo in defect.get("photos", ()):
            yield defect["id"], photo


def _film(old: Facts, new: Facts) -> Iterator[Loss]:
    before, after = (facts.get("film", {}).get("sha256") for facts in (old, new))
    if before not in (None, after) and "film" in new:
        yield Loss("film", "is another film than was shown")
