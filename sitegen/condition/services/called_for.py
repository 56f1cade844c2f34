"""Judge whether a finding of the walk makes a service due: a cracked belt is due whatever its interval.

A check point may cover several things: "belts and hoses" covers belts, which have an interval, and hoses, which have
none. The note decides which is meant; without a note, each may be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import IntEnum

from sitegen.condition.basis.checks import is_answered, points_of, settled_defects, written_check
from sitegen.condition.basis.renewals import renewal_of
from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import Affects, CheckResult
from sitegen.records.figures import Figures, LookedAt
from sitegen.records.vehicle_record import VehicleRecord


class Call(IntEnum):
    """How certainly the findings make a service due."""

    NOT = 0
    """Nothing was found at its points, or everything was put right."""
    OTHER = 1
    """The findings concern something else, or looks only."""
    MAYBE = 2
    """Something needs attention, without a note that says what."""
    DUE = 3
    """A finding names it."""


def call_for(record: VehicleRecord, service: str, figures: Figures) -> Call:
    """Return how certainly the findings of the walk make a service due.

    Return `Call.NOT` for a service that was renewed since, and for one that no check point concerns.
    """
    looked: Mapping[str, LookedAt] = {**figures.intervals.looked_at, **figures.intervals.by_check}
    if service not in looked or renewal_of(record, f"services.{service}", service) is not None:
        return Call.NOT
    calls = (
        _call(found, service, looked) for point in looked[service].points for found in _found(record, point, figures)
    )
    return max(calls, default=Call.NOT)


@dataclass(frozen=True)
class _Found:
    """A finding at a check point. Its words are those of all languages together."""

    part: str
    """The part that the check's note or the defect names."""
    words: str = ""
    """The other words of a defect. They may name a part that is good."""
    looks_only: bool = False


def _found(record: VehicleRecord, point: str, figures: Figures) -> Iterator[_Found]:
    """Yield the findings at a check point: each defect that names it, or else the note of its check."""
    check = written_check(record, point)
    settled = settled_defects(record)
    naming = [
        defect
        for defect in record.defects
        if defect.id == check.defect or point in points_of(defect, figures.vocabulary)
    ]
    for defect in naming:
        if defect.id not in settled:
            yield _Found(_in_all(defect.where.part), _in_all(defect.words), defect.affects is Affects.LOOKS)
    if not naming and check.finding is CheckResult.ATTENTION and not is_answered(record, point):
        yield _Found(_in_all(check.note) if check.note else "")


def _in_all(text: LocalizedText) -> str:
    return " ".join(text.versions.values()).casefold()


def _call(found: _Found, service: str, looked: Mapping[str, LookedAt]) -> Call:
    if found.looks_only:
        return Call.OTHER
    own = looked[service]
    if not own.named:
        return Call.DUE
    beside = [word for other in looked.values() if set(other.points) & set(own.points) for word in other.named]
    if _names(found.part, beside) & set(own.named):
        return Call.DUE
    if not found.part or _names(found.words, beside) & set(own.named):
        return Call.MAYBE
    return Call.OTHER


def _names(text: str, words: Iterable[str]) -> set[str]:
    """Return the words that a text contains. Longer words come first: "timing belt" does not count as "belt"."""
    longest_first = "|".join(map(re.escape, sorted(words, key=len, reverse=True)))
    return set(re.findall(rf"\b({longest_first})(?:e?s)?\b", text))
