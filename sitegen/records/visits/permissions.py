"""The kind of change that each key of a record or a visit is, for the inbox. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Any, Final


class Change(StrEnum):
    """Kind of change that a file in the inbox can make."""

    MEASURES = "measures"
    PHOTOS = "photos"
    DEFECTS = "defects"
    WORK = "work"
    PAPERS = "papers"
    PROMISES = "promises"
    PRICE = "price"
    STATUS = "status"
    CORRECTIONS = "corrections"


USUAL_CHANGES: Final = (Change.MEASURES, Change.PHOTOS, Change.DEFECTS, Change.WORK, Change.PAPERS)
"""The kinds that need no permission in `site.yaml`.

The others decide what is offered and promised. A defect that was put right, or that affects less than usual, can also
lift a hold; it needs a reason, which the page shows.
"""
_KEYS: Final = {
    Change.MEASURES: (
        *("at", "gauges", "odometer", "tires", "brakes", "brake_fluid", "coolant", "battery"),
        *("traction_battery", "paint", "checks"),
    ),
    Change.PHOTOS: ("photos", "film"),
    Change.DEFECTS: ("defects",),
    Change.WORK: ("work_done", "services", "additions"),
    Change.PAPERS: ("vehicle", "earlier_readings", "title", "recalls", "equipment", "location", "notes"),
    Change.PROMISES: ("before_delivery", "outlook", "not_for_road_use", "sale_terms"),
    Change.PRICE: ("price",),
    Change.STATUS: ("status", "listed_on", "sold_on", "formerly"),
    Change.CORRECTIONS: ("history", "withdraw", "harmless"),
}  # fmt: skip
CHANGE_OF_KEY: Final = {key: change for change, keys in _KEYS.items() for key in keys}
"""The kind of change by key. `on` and `by` of a visit change nothing."""


def changes_of(record: Any, *, is_first: bool = False) -> Iterator[tuple[Change, str]]:
    """Yield the kind and the key of each change that a record or a visit makes.

    A first inspection (`is_first`) must state the terms of sale and a status; being in preparation changes nothing.
    """
    for key in type(record).model_fields:
        change = CHANGE_OF_KEY.get(key)
        value = getattr(record, key)
        if change is None or key not in record.model_fields_set or value is None or value == ():
            continue
        if is_first and (key == "sale_terms" or (key == "status" and value == "preparing")):
            continue
        yield change, key
