"""What findings are made of: intervals, how a figure is known, and sentences as keys with their figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from fractions import Fraction

from sitegen.records.base import LocalizedText, PartialDate
from sitegen.records.quantities import Depth, Distance, Quantity
from sitegen.records.sourced import Certainty


class KnownBy(StrEnum):
    """How a figure is known."""

    MEASURED = "measured"
    FROM_RECORDS = "from records"
    TYPICAL = "typical"
    NOT_KNOWN = "not known"


@dataclass(frozen=True)
class Span:
    """An exact interval; without `high`, it has no upper end that anyone could name."""

    low: Fraction
    high: Fraction | None

    @classmethod
    def at(cls, value: Fraction) -> Span:
        """Return the interval of one exact value."""
        return cls(value, value)


@dataclass(frozen=True)
class WholeSpan:
    """An interval already rounded outward to whole units; without `high`, it is open."""

    low: int
    high: int | None


@dataclass(frozen=True)
class Tread:
    """A depth that is tread, so that a page shows it in the region's unit for tread."""

    depth: Depth


@dataclass(frozen=True)
class Word:
    """A word to look up in the catalogs, such as `wheel.left_front`."""

    key: str


Value = Quantity | Tread | Word | LocalizedText | PartialDate | Fraction | int | date | str
"""What a sentence may name. A `Fraction` is a plain number, a `Share` is in percent, a `str` is shown as written."""


@dataclass(frozen=True)
class Said:
    """A sentence: a message key, and the figures that stand in it. `count` chooses the plural form."""

    key: str
    figures: Mapping[str, Value] = field(default_factory=dict)

    @property
    def count(self) -> int | None:
        """The number that chooses the plural form, where the sentence has one."""
        value = self.figures.get("count")
        return value if isinstance(value, int) else None


@dataclass(frozen=True)
class Limit:
    """A limit that a measurement is held against, and how far it can be trusted."""

    value: Depth
    source: str
    known: Certainty


@dataclass(frozen=True)
class DepthSpan:
    """A depth when new: one figure where it is known, a typical range where not."""

    low: Depth
    high: Depth
    known_by: KnownBy


@dataclass(frozen=True)
class Renewal:
    """A part that was renewed after it was measured, or will be before delivery."""

    what: LocalizedText
    on: date | None
    """None: it is promised, not yet done."""
    at: Distance | None = None

    @property
    def promised(self) -> bool:
        """Whether it is still to be done."""
        return self.on is None
