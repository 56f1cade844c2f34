"""The published versions of a vehicle's facts, each with its differences to the one before and to the present."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sitegen.pages.kept.difference import PublishedDifference

DIGITS = 6
"""Number of SHA-256 digits in a version's name. They distinguish equal numbers of two ledgers of the same store."""


@dataclass(frozen=True)
class Version:
    """One published version of a vehicle's facts: valid from its publication until the facts change."""

    number: int
    """The version number, from 1, as the ledger counts revisions."""
    record: str
    """SHA-256 of its `record.json`, in hexadecimal."""
    on: date
    """The day of its publication, in the store's time zone."""
    came: tuple[PublishedDifference, ...] | None
    """Its differences to the version before; None for the first, or if the version before was not retained."""
    since: tuple[PublishedDifference, ...] | None
    """The differences from it to the present version; None if it was not retained."""

    @property
    def name(self) -> str:
        """The version's name in addresses, such as `3.1f2e9c`."""
        return version_name(self.number, self.record)


def version_name(number: int, record: str) -> str:
    """Return the name of a version from its number and the SHA-256 of its record."""
    return f"{number}.{record[:DIGITS]}"


def name_of_now(versions: Sequence[Version], record: str) -> str:
    """Return the name of the version to publish now. `record` is the SHA-256 of its record."""
    return versions[-1].name if versions else version_name(1, record)
