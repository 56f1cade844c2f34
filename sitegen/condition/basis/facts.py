"""A standing fact: something about a vehicle that a buyer should know, and that nobody has put right."""

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
    """What a standing fact can do, the worst first."""

    CAN_HURT = "can hurt"
    CAN_STRAND = "can strand"
    WORKS_LESS_WELL = "works less well"
    UNKNOWN = "unknown"
    PAPERS = "papers"
    LOOKS = "looks"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Harm).index(self)


class FactKind(StrEnum):
    """Where a standing fact comes from."""

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
    """How a standing fact is known."""

    SEEN = "seen"
    MEASURED = "measured"
    WRITTEN = "written"
    PAPERS = "from papers"
    NOT_KNOWN = "not known"


@dataclass(frozen=True)
class FactPlace:
    """Where on the vehicle a fact stands, as far as the record says."""

    station: Station | None = None
    wheel: Wheel | None = None
    part: LocalizedText | None = None
    point: str | None = None
    """Check point."""


@dataclass(frozen=True)
class StandingFact:
    """Something that a buyer should know: what, where, how bad, since when, and what answers it."""

    kind: FactKind
    harm: Harm
    rule: Rule
    path: Path
    """Where it stands in the record that noted it: ("defects", 0, "affects")."""
    short: Said
    """Its name in a list: the part, and what is wrong with it."""
    said: Said
    """A whole sentence."""
    place: FactPlace
    since: date
    """Day of the first inspection that noted it and since which no other inspection missed it."""
    seen_on: date
    """Day of the last inspection that noted it."""
    known: HowKnown
    noted_by: LocalizedText | None = None
    """Who inspected the vehicle then."""
    defect: str | None = None
    """Id of the defect that tells it at length."""
    because: LocalizedText | None = None
    """Why it is not worse, in the words of the record."""
    answers: tuple[Promise, ...] = ()
    """What the store will do about it before delivery."""
    is_current: bool = True
    """False where an earlier inspection noted it and nobody looked again."""
    says_first: bool = False
    """Whether it comes before everything else: the vehicle must not be driven."""

    @property
    def is_open(self) -> bool:
        """Whether nothing answers it."""
        return not self.answers

    @property
    def holds(self) -> bool:
        """Whether the page waits for an answer."""
        return self.rule in (Rule.HOLD, Rule.QUESTION) and self.is_open
