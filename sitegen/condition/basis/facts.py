"""The type of a standing fact: something that a buyer should know and that nobody has put right."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from sitegen.condition.basis.values import Said
from sitegen.records.base import LocalizedText
from sitegen.records.disclosure import Promise, Station
from sitegen.records.standing.rules import Rule
from sitegen.records.vehicle import Wheel

Path = tuple[str | int, ...]


class Harm(StrEnum):
    """The possible consequence of a standing fact. The values are in order of seriousness, the worst first."""

    CAN_HURT = "can hurt"
    CAN_STRAND = "can strand"
    WORKS_LESS_WELL = "works less well"
    UNKNOWN = "unknown"
    PAPERS = "papers"
    LOOKS = "looks"

    @property
    def rank(self) -> int:
        """Return the position in order of seriousness; 0 is the worst."""
        return list(Harm).index(self)


class FactKind(StrEnum):
    """The part of the record that a standing fact comes from."""

    DEFECT = "defect"
    CHECK = "check"
    FIGURE = "figure"
    WORDS = "words"
    MISSING = "missing equipment"
    RECALL = "recall"
    TITLE = "title"
    ODOMETER = "odometer"
    NOT_LOOKED_AT = "not looked at"


class HowKnown(StrEnum):
    """How a standing fact is known: seen, measured, written in a text, and so on."""

    SEEN = "seen"
    MEASURED = "measured"
    WRITTEN = "written"
    PAPERS = "from papers"
    NOT_KNOWN = "not known"


@dataclass(frozen=True)
class FactPlace:
    """The place of a fact on the vehicle, as far as the record gives it."""

    station: Station | None = None
    wheel: Wheel | None = None
    part: LocalizedText | None = None
    point: str | None = None
    """The key of a check point."""


@dataclass(frozen=True)
class StandingFact:
    """Something that a buyer should know: its place, harm, first day and answer."""

    kind: FactKind
    harm: Harm
    rule: Rule
    path: Path
    """The path in the record that noted it: ("defects", 0, "affects")."""
    short: Said
    """The name in a list: the part and the fault."""
    said: Said
    """The fact as a whole sentence."""
    place: FactPlace
    since: date
    """The day of the first in the unbroken row of inspections that noted it."""
    seen_on: date
    """The day of the last inspection that noted it."""
    known: HowKnown
    noted_by: LocalizedText | None = None
    """Who did that last inspection."""
    defect: str | None = None
    """The id of the defect that describes it in full."""
    because: LocalizedText | None = None
    """The record's reason why it is not more serious."""
    answers: tuple[Promise, ...] = ()
    """The promises of work before delivery that answer it."""
    says_first: bool = False
    """Whether it comes before everything else, since the vehicle must not be driven."""

    @property
    def is_open(self) -> bool:
        """Return whether no promise before delivery answers the fact."""
        return not self.answers

    @property
    def holds(self) -> bool:
        """Return whether the fact holds the page back: its rule says so, and no promise answers it."""
        return self.rule in (Rule.HOLD, Rule.QUESTION) and self.is_open
