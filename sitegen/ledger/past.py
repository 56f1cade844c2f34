"""What a vehicle's page tells of its own changes between publications: price, status, new photos. Pure."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from datetime import date, tzinfo
from hashlib import sha256
from itertools import pairwise

from sitegen.ledger.changes import Facts
from sitegen.ledger.lines import Line
from sitegen.ledger.showing import day_of
from sitegen.records.disclosure import PublishedChange, PublishedKind

_TOLD = ("price:", "status:", "photos.")
"""How the words of a line begin that tells of one of these: only then are the facts of that revision looked up."""


def past_changes(
    about: Sequence[Line], facts_of: Callable[[Line], Facts | None], now: bytes, today: date, zone: tzinfo
) -> tuple[PublishedChange, ...]:
    """Return the changes of a vehicle from its lines, and from the last of them to the `record.json` of `now`."""
    found: list[PublishedChange] = []
    for before, after in pairwise(about):
        if any(words.startswith(_TOLD) for words in after.changed):
            old, new = facts_of(before), facts_of(after)
            if old is not None and new is not None:
                found += _changes(old, new, day_of(after, zone))
    is_new = bool(about) and about[-1].record != sha256(now).hexdigest()
    last = facts_of(about[-1]) if is_new else None
    if last is not None:
        found += _changes(last, json.loads(now), today)
    return tuple(found)


def _changes(old: Facts, new: Facts, on: date) -> Iterator[PublishedChange]:
    for kind in (PublishedKind.PRICE, PublishedKind.STATUS):
        before, after = old.get(kind), new.get(kind)
        if before is not None and after is not None and before != after:
            yield PublishedChange(on, kind, str(before), str(after))
    known = {str(photo.get("shows")) for photo in old.get("photos", [])}
    added = sum(str(photo.get("shows")) not in known for photo in new.get("photos", []))
    if added:
        yield PublishedChange(on, PublishedKind.PHOTOS, "", str(added))
