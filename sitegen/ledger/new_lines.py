"""Compute the lines that a publication adds to the ledger: one for each vehicle whose disclosure changed. Pure."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sitegen.ledger.differences.changes import Facts, changes
from sitegen.ledger.lines import NOTHING_BEFORE, Line, latest_of_each


@dataclass(frozen=True)
class Disclosure:
    """The record and pages of one vehicle that are about to be published."""

    stock: str
    vin: str
    record: str
    """SHA-256 of its `record.json`."""
    pages: Mapping[str, str]
    """SHA-256 of each of its pages by path in the site, with zeros in place of the line's digest."""


@dataclass(frozen=True)
class PublicationHistory:
    """The ledger so far, and the facts to compare with it."""

    lines: Sequence[Line]
    facts_of: Callable[[Line], Facts | None]
    """Returns the facts disclosed with a line, or None if they are lost."""
    now: Mapping[str, bytes]
    """The `record.json` of each vehicle about to be published, by stock number. Loaded on access, to save memory."""
    left_as_they_are: Collection[str] = ()
    """Vehicles that are left out of this build and whose published pages stay."""


def lines_to_add(
    history: PublicationHistory, disclosures: Sequence[Disclosure], other_pages: Iterable[str], time: str
) -> tuple[Line, ...]:
    """Return the lines to add: one per changed vehicle in order of stock number, then one for new other pages."""
    latest = latest_of_each(history.lines)
    drafts = [*_published_drafts(disclosures, latest, history), *_withdrawn_drafts(disclosures, latest, history)]
    known_pages = {page for line in history.lines for page in line.all_pages}
    new_pages = tuple(sorted(set(other_pages) - known_pages))
    if new_pages:
        drafts.append(replace(_DRAFT, addresses=new_pages, changed=("pages of no vehicle",)))
    added: list[Line] = []
    last = history.lines[-1] if history.lines else None
    for draft in drafts:
        sequence, before = (last.sequence + 1, last.digest) if last else (1, NOTHING_BEFORE)
        last = replace(draft, sequence=sequence, before=before, time=time)
        added.append(last)
    return tuple(added)


def latest_lines(disclosures: Iterable[Disclosure], lines: Sequence[Line]) -> dict[str, Line]:
    """Return the latest line of each disclosed vehicle by stock number. `lines` includes those just added."""
    latest = latest_of_each(lines)
    return {disclosure.stock: latest[disclosure.stock] for disclosure in disclosures}


_DRAFT = Line(0, "", None, None, None, None, None, {}, (), (), (), "")


def _published_drafts(
    disclosures: Iterable[Disclosure], latest: Mapping[str, Line], history: PublicationHistory
) -> Iterator[Line]:
    present = {disclosure.stock for disclosure in disclosures}
    absent = {line.vin: line for line in latest.values() if line.stock not in present}
    for disclosure in sorted(disclosures, key=lambda disclosure: disclosure.stock):
        last = latest.get(disclosure.stock) or absent.get(disclosure.vin)
        if last is not None and (last.stock, last.record) == (disclosure.stock, disclosure.record):
            continue
        facts: Facts = json.loads(history.now[disclosure.stock])
        yield replace(
            _DRAFT,
            stock=disclosure.stock,
            formerly=last.stock if last and last.stock != disclosure.stock else None,
            vin=disclosure.vin,
            revision=(last.revision or 0) + 1 if last else 1,
            record=disclosure.record,
            pages=dict(disclosure.pages),
            shown=tuple(sorted({*_shown(facts)})),
            changed=tuple(_words(disclosure, last, history, facts)),
        )


def _withdrawn_drafts(
    disclosures: Sequence[Disclosure], latest: Mapping[str, Line], history: PublicationHistory
) -> Iterator[Line]:
    """Yield a line for each vehicle that was published before and is not any more, under any stock number."""
    stocks = {disclosure.stock for disclosure in disclosures} | set(history.left_as_they_are)
    vins = {disclosure.vin for disclosure in disclosures}
    for line in latest.values():
        if line.record is not None and line.stock not in stocks and line.vin not in vins:
            changed_words = ("no longer published",)
            revision = (line.revision or 0) + 1
            yield replace(_DRAFT, stock=line.stock, vin=line.vin, revision=revision, changed=changed_words)


def _shown(facts: Any) -> Iterator[str]:
    """Yield the SHA-256 of each photo and video in the facts."""
    if isinstance(facts, dict):
        for key, value in facts.items():
            if key == "sha256":
                yield value
            else:
                yield from _shown(value)
    elif isinstance(facts, list):
        for each in facts:
            yield from _shown(each)


def _words(disclosure: Disclosure, last: Line | None, history: PublicationHistory, facts: Facts) -> Iterator[str]:
    if last is None:
        yield "first published"
        return
    if last.stock != disclosure.stock:
        yield f"stock number {disclosure.stock}, was {last.stock}"
    if last.record is None:
        yield "published again"
        return
    old = history.facts_of(last)
    if old is None:
        yield "changed; what was disclosed before is no longer kept"
        return
    yield from changes(old, facts)
