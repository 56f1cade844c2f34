"""Changes and versions of a vehicle's disclosure, computed from its ledger lines. Pure."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, tzinfo
from hashlib import sha256
from itertools import pairwise

from sitegen.ledger.differences.changes import Facts
from sitegen.ledger.ledger_files import record_path
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


@dataclass(frozen=True)
class PublishedVersion:
    """One version of a vehicle's disclosure, from the ledger."""

    number: int
    record: str
    """SHA-256 of its `record.json`."""
    on: date
    """The day of its publication, in the store's time zone."""
    file: str | None
    """Path of its `record.json` in the store; None for the version to publish now."""


def published_versions(about: Sequence[Line], record: str, today: date, zone: tzinfo) -> tuple[PublishedVersion, ...]:
    """Return every version of a vehicle's disclosure. The last is the one whose `record.json` has this SHA-256.

    If the last line already names that record, its version has the line's number and day. Otherwise it is the next
    version, dated `today`.
    """
    shown = [
        PublishedVersion(line.revision or 0, line.record, day_of(line, zone), record_path(line))
        for line in about
        if line.record is not None
    ]
    last = about[-1] if about else None
    if last is not None and last.record == record:
        return (*shown[:-1], replace(shown[-1], file=None))
    return (*shown, PublishedVersion((last.revision or 0) + 1 if last else 1, record, today, None))


def versions(
    published: Sequence[PublishedVersion], content: Callable[[str], bytes | None], now: bytes
) -> tuple[Version, ...]:
    """Return every version with its differences to the one before, and to the `record.json` in `now`.

    `content` returns the bytes of a file of the store. A file that was altered counts as missing.
    """
    facts = [_facts(content(each.file), each.record) if each.file else None for each in published]
    if len(published) > 1:
        facts[-1] = json.loads(now)
    return tuple(
        Version(
            each.number,
            each.record,
            each.on,
            None if own is None or before is None else differences(before, own),
            () if each.file is None else None if own is None else differences(own, facts[-1] or {}),
        )
        for each, own, before in zip(published, facts, [None, *facts], strict=False)
    )


def _facts(content: bytes | None, digest: str) -> Facts | None:
    if content is None or sha256(content).hexdigest() != digest:
        return None
    facts: Facts = json.loads(content)
    return facts


def _changes(old: Facts, new: Facts, on: date) -> Iterator[PublishedChange]:
    for kind in (PublishedKind.PRICE, PublishedKind.STATUS):
        before, after = old.get(kind), new.get(kind)
        if before is not None and after is not None and before != after:
            yield PublishedChange(on, kind, str(before), str(after))
    old_texts = {str(photo.get("shows")) for photo in old.get("photos", [])}
    added = sum(str(photo.get("shows")) not in old_texts for photo in new.get("photos", []))
    if added:
        yield PublishedChange(on, PublishedKind.PHOTOS, "", str(added))
