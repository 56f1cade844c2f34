"""What pages and the feed tell of their own changes between publications. Pure."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from datetime import date, tzinfo
from hashlib import sha256
from itertools import pairwise

from sitegen.ledger.changes import Facts
from sitegen.ledger.lines import Line
from sitegen.ledger.showing import day_of
from sitegen.pages.kept.differences import differences
from sitegen.pages.kept.versions import Version
from sitegen.records.vehicle_record import PublishedChange, PublishedKind

_TOLD = ("price:", "status:", "photos.")
"""How the words of a line begin that tells of one of these: only then are the facts of that revision looked up."""


def past_changes(
    about: Sequence[Line], facts_of: Callable[[Line], Facts | None], now: bytes, today: date, zone: tzinfo
) -> tuple[PublishedChange, ...]:
    """Return what the feed tells by itself, price, status and new photos, up to the `record.json` of `now`."""
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


def versions(
    about: Sequence[Line], facts_of: Callable[[Line], Facts | None], now: bytes, today: date, zone: tzinfo
) -> tuple[Version, ...]:
    """Return every version of a vehicle from its lines, that of the `record.json` of `now` last.

    While that says what the last line tells of, it is the version of that line; else it is the next, as of `today`.
    """
    record = sha256(now).hexdigest()
    shown = [(line.revision or 0, line.record, day_of(line, zone), line) for line in about if line.record is not None]
    last = about[-1] if about else None
    if last is not None and last.record == record:
        shown.pop()
        number, on = last.revision or 0, day_of(last, zone)
    else:
        number, on = (last.revision or 0) + 1 if last else 1, today
    facts: Facts = json.loads(now) if shown else {}
    kept = [facts_of(line) for *_, line in shown]
    found = []
    for place, (count, digest, day, _) in enumerate(shown):
        old, before = kept[place], kept[place - 1] if place else None
        came = None if old is None or before is None else differences(before, old)
        found.append(Version(count, digest, day, came, None if old is None else differences(old, facts)))
    before = kept[-1] if kept else None
    return (*found, Version(number, record, on, None if before is None else differences(before, facts), ()))


def _changes(old: Facts, new: Facts, on: date) -> Iterator[PublishedChange]:
    for kind in (PublishedKind.PRICE, PublishedKind.STATUS):
        before, after = old.get(kind), new.get(kind)
        if before is not None and after is not None and before != after:
            yield PublishedChange(on, kind, str(before), str(after))
    known = {str(photo.get("shows")) for photo in old.get("photos", [])}
    added = sum(str(photo.get("shows")) not in known for photo in new.get("photos", []))
    if added:
        yield PublishedChange(on, PublishedKind.PHOTOS, "", str(added))
