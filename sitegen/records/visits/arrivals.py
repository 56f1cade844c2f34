"""Files that arrived in the inbox, and the outcome of each. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class InboxOutcome(StrEnum):
    """State of a file that arrived in the inbox."""

    TAKEN = "taken"
    REFUSED = "refused"
    WAITING = "waiting"


@dataclass(frozen=True)
class InboxEntry:
    """One file that arrived in the inbox. `file` is its name there, and `digest` the SHA-256 of its bytes."""

    file: str
    outcome: InboxOutcome
    at: str = ""
    """Moment at which it was taken in or refused, as ISO 8601 in UTC. Empty while it waits."""
    digest: str = ""
    stock: str = ""
    """Stock number of its vehicle. Empty if it cannot be read."""
    visit: str = ""
    """File name of the visit that it became, without the ending. Empty for a first inspection."""
    on: str = ""
    """Day or moment of the visit, as its author wrote it."""
    by: str = ""
    """The visit's author. Empty if it does not say."""
    changes: tuple[str, ...] = ()
    """Kinds of change that it makes, such as `measures`."""
    words: tuple[str, ...] = ()
    """Reasons why it was refused or waits, or remarks on what was taken in: sentences for its author."""


@dataclass(frozen=True)
class InboxReport:
    """The files that were taken in or refused at one run, and those that wait."""

    taken: tuple[InboxEntry, ...] = ()
    refused: tuple[InboxEntry, ...] = ()
    waiting: tuple[InboxEntry, ...] = ()
