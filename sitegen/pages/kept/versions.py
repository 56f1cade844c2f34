"""The versions of what is disclosed of a vehicle, each with what lies between it and now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sitegen.pages.kept.difference import PublishedDifference

DIGITS = 6
"""Of a record's SHA-256 in the name of its version: so many that a ledger begun anew is told from the one before."""


@dataclass(frozen=True)
class Version:
    """What was disclosed of a vehicle, from one publication to the next that told otherwise."""

    number: int
    """Counts from 1, as the ledger's revisions do."""
    record: str
    """SHA-256 of its `record.json`, in hexadecimal."""
    on: date
    """The day at the store on which it was published."""
    came: tuple[PublishedDifference, ...] | None
    """What it told otherwise than the version before; None of the first, or if the one before is no longer kept."""
    since: tuple[PublishedDifference, ...] | None
    """What has changed from it to now; None if it is no longer kept."""

    @property
    def name(self) -> str:
        """By which an address speaks of it: `3.1f2e9c`."""
        return version_name(self.number, self.record)


def version_name(number: int, record: str) -> str:
    """Return the name of a version, by its number and the SHA-256 of its record."""
    return f"{number}.{record[:DIGITS]}"


def name_of_now(versions: Sequence[Version], record: str) -> str:
    """Return the name of the version that is published now, by the SHA-256 of its record."""
    return versions[-1].name if versions else version_name(1, record)
