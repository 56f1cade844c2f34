"""Whether the walk-around calls for a service: a cracked belt is due, whatever its interval says.

A point may look at several things: "belts and hoses" at belts, which have an interval, and at hoses, which
have none. So what was written there decides which of them is meant; where nothing was written, each of them may be.
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
    """How surely what was found calls for a service."""

    NOT = 0
    """Nothing was found at its points, or all of it was put right."""
    OTHER = 1
    """What was found there speaks of something else, or of looks alone."""
    MAYBE = 2
    """Something needs attention there, and nobody wrote what."""
    DUE = 3
    """What was found speaks of it."""


def call_for(record: VehicleRecord, service: str, figures: Figures) -> Call:
    """Return whether what the walk-around found calls for a service; one renewed since is called for by nothing."""
    looked: Mapping[str, LookedAt] = {**figures.intervals.looked_at, **figures.intervals.by_check}
    if service not in looked or renewal_of(record, f"services.{service}", service) is not None:
        return Call.NOT
    calls = (
        _call(found, service, looked) for point in looked[service].points for found in _found(record, point, figures)
    )
    return max(calls, default=Call.NOT)


@dataclass(frozen=True)
class _Found:
    """What was found at a point. Words are those of all languages together."""

    part: str
    """What the check's note or the defect's part names."""
    words: str = ""
    """What else is said of a defect: it may name a part that is good."""
    looks_only: bool = False


def _found(record: VehicleRecord, point: str, figures: Figures) -> Iterator[_Found]:
    """Yield what needs attention at a point: each defect that tells of it, else the note of its check."""
    check = written_check(record, point)
    settled = settled_defects(record)
    told = [
        defect
        for defect in record.defects
        if defect.id == check.defect or point in points_of(defect, figures.vocabulary)
    ]
    for defect in told:
        if defect.id not in settled:
            yield _Found(_in_all(defect.where.part), _in_all(defect.words), defect.affects is Affects.LOOKS)
    if not told and check.finding is CheckResult.ATTENTION and not is_answered(record, point):
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
    """Return the words that a text names, the longest first: a timing belt is not read as a belt of any kind."""
    longest_first = "|".join(map(re.escape, sorted(words, key=len, reverse=True)))
    return set(re.findall(rf"\b({longest_first})(?:e?s)?\b", text))
