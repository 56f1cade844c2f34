"""Changes and versions of a vehicle's disclosure, computed from its ledger lines. Pure."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from datetime import date, tzinfo
from hashlib import sha256
from itertools import pairwise

from sitegen.ledger.differences.changes import Facts
from sitegen.ledger.lines import Line
from sitegen.ledger.revisions import day_of
from sitegen.pages.kept.differences import differences
from sitegen.pages.kept.versions import Version
from sitegen.records.vehicle_record import PublishedChange, PublishedKind

_FEED_PREFIXES = ("price:", "status:", "photos.")
"""Prefixes of changes of price, status or photos. Facts are loaded only for lines with such changes."""


def published_changes(
    about: Sequence[Line], facts_of: Callable[[Line], Facts | None], now: bytes, today: date, zone: tzinfo
) -> tuple[PublishedChange, ...]:
    """Return the changes of price, status and photos between all disclosures, up to the `record.json` in `now`."""
    changes: list[PublishedChange] = []
    for before, after in pairwise(about):
        if any(words.startswith(_FEED_PREFIXES) for words in after.changed):
            old, new = facts_of(before), facts_of(after)
            if old is not None and new is not None:
                changes += _changes(old, new, day_of(after, zone))
    is_new = bool(about) and about[-1].record != sha256(now).hexdigest()
    last = facts_of(about[-1]) if is_new else None
    if last is not None:
        changes += _changes(last, json.loads(now), today)
    return tuple(changes)


def versions(
    about: Sequence[Line], facts_of: Callable[[Line], Facts | None], now: bytes, today: date, zone: tzinfo
) -> tuple[Version, ...]:
    """Return every version of a vehicle's disclosure. The last is that of the `record.json` in `now`.

    If the last line already names that record, its version has the line's number and day. Otherwise it is the next
    version, dated `today`.
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
    old_facts = [facts_of(line) for *_, line in shown]
    past_versions = []
    for place, (count, digest, day, _) in enumerate(shown):
        old, before = old_facts[place], old_facts[place - 1] if place else None
        changes_since_previous = None if old is None or before is None else differences(before, old)
        past_versions.append(
            Version(count, digest, day, changes_since_previous, None if old is None else differences(old, facts))
        )
    before = old_facts[-1] if old_facts else None
    return (*past_versions, Version(number, record, on, None if before is None else differences(before, facts), ()))


def _changes(old: Facts, new: Facts, on: date) -> Iterator[PublishedChange]:
    for kind in (PublishedKind.PRICE, PublishedKind.STATUS):
        before, after = old.get(kind), new.get(kind)
        if before is not None and after is not None and before != after:
            yield PublishedChange(on, kind, str(before), str(after))
    old_texts = {str(photo.get("shows")) for photo in old.get("photos", [])}
    added = sum(str(photo.get("shows")) not in old_texts for photo in new.get("photos", []))
    if added:
        yield PublishedChange(on, PublishedKind.PHOTOS, "", str(added))
