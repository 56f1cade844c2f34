"""Which lines a publication adds to the ledger: one for each vehicle that is told of otherwise. Pure."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sitegen.ledger.changes import Facts, changes
from sitegen.ledger.lines import NOTHING_BEFORE, Line, latest_of_each


@dataclass(frozen=True)
class Disclosure:
    """What is about to be published of one vehicle."""

    stock: str
    vin: str
    record: str
    """SHA-256 of the facts, its `record.json`."""
    pages: Mapping[str, str]
    """SHA-256 of each of its pages, by path in the site; in them zeros stand for the digest of the line."""


@dataclass(frozen=True)
class Kept:
    """What is known of earlier publications, and what is held against it."""

    lines: Sequence[Line]
    facts_of: Callable[[Line], Facts | None]
    """Gives the facts that were disclosed with a line, or None where they are lost."""
    now: Mapping[str, bytes]
    """The `record.json` of each vehicle that is about to be published, by stock: all would fill the memory."""
    left_as_they_are: Collection[str] = ()
    """Vehicles of which nothing new is published, and what was published stays."""


def lines_to_add(
    kept: Kept, disclosures: Sequence[Disclosure], other_pages: Iterable[str], time: str
) -> tuple[Line, ...]:
    """Return the lines that a publication adds: those of vehicles by stock, then one of new pages of no vehicle."""
    latest = latest_of_each(kept.lines)
    drafts = [*_of_vehicles(disclosures, latest, kept), *_of_gone(disclosures, latest, kept)]
    known = {page for line in kept.lines for page in line.all_pages}
    new_pages = tuple(sorted(set(other_pages) - known))
    if new_pages:
        drafts.append(replace(_DRAFT, addresses=new_pages, changed=("pages of no vehicle",)))
    added: list[Line] = []
    last = kept.lines[-1] if kept.lines else None
    for draft in drafts:
        sequence, before = (last.sequence + 1, last.digest) if last else (1, NOTHING_BEFORE)
        last = replace(draft, sequence=sequence, before=before, time=time)
        added.append(last)
    return tuple(added)


def lines_of(disclosures: Iterable[Disclosure], lines: Sequence[Line]) -> dict[str, Line]:
    """Return the line that tells of each disclosure, by stock, from all lines, those just added among them."""
    latest = latest_of_each(lines)
    return {one.stock: latest[one.stock] for one in disclosures}


_DRAFT = Line(0, "", None, None, None, None, None, {}, (), (), (), "")


def _of_vehicles(disclosures: Iterable[Disclosure], latest: Mapping[str, Line], kept: Kept) -> Iterator[Line]:
    present = {one.stock for one in disclosures}
    left = {line.vin: line for line in latest.values() if line.stock not in present}
    for one in sorted(disclosures, key=lambda one: one.stock):
        last = latest.get(one.stock) or left.get(one.vin)
        if last is not None and (last.stock, last.record) == (one.stock, one.record):
            continue
        facts: Facts = json.loads(kept.now[one.stock])
        yield replace(
            _DRAFT,
            stock=one.stock,
            formerly=last.stock if last and last.stock != one.stock else None,
            vin=one.vin,
            revision=(last.revision or 0) + 1 if last else 1,
            record=one.record,
            pages=dict(one.pages),
            shown=tuple(sorted({*_shown(facts)})),
            changed=tuple(_words(one, last, kept, facts)),
        )


def _of_gone(disclosures: Sequence[Disclosure], latest: Mapping[str, Line], kept: Kept) -> Iterator[Line]:
    """Yield a line for each vehicle that was published and is not any more, be it under another stock number."""
    stocks = {one.stock for one in disclosures} | set(kept.left_as_they_are)
    vins = {one.vin for one in disclosures}
    for line in latest.values():
        if line.record is not None and line.stock not in stocks and line.vin not in vins:
            gone = ("no longer published",)
            revision = (line.revision or 0) + 1
            yield replace(_DRAFT, stock=line.stock, vin=line.vin, revision=revision, changed=gone)


def _shown(told: Any) -> Iterator[str]:
    """Yield the SHA-256 of every photo and video that facts tell of."""
    if isinstance(told, dict):
        for key, value in told.items():
            if key == "sha256":
                yield value
            else:
                yield from _shown(value)
    elif isinstance(told, list):
        for each in told:
            yield from _shown(each)


def _words(one: Disclosure, last: Line | None, kept: Kept, facts: Facts) -> Iterator[str]:
    if last is None:
        yield "first published"
        return
    if last.stock != one.stock:
        yield f"stock number {one.stock}, was {last.stock}"
    if last.record is None:
        yield "published again"
        return
    old = kept.facts_of(last)
    if old is None:
        yield "changed; what was disclosed before is no longer kept"
        return
    yield from changes(old, facts)
