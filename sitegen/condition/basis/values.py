"""Types of values in findings: intervals, how a figure is known, and sentences as message keys with figures."""

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
    """An exact interval. Without `high`, its upper end is unknown."""

    low: Fraction
    high: Fraction | None

    @classmethod
    def at(cls, value: Fraction) -> Span:
        """Return the interval of one exact value."""
        return cls(value, value)


@dataclass(frozen=True)
class WholeSpan:
    """An interval rounded outward to whole units. Without `high`, its upper end is unknown."""

    low: int
    high: int | None


@dataclass(frozen=True)
class Tread:
    """A depth of tread, which a page shows in the region's unit for tread."""

    depth: Depth


@dataclass(frozen=True)
class Word:
    """A word to look up in the catalogs, such as `wheel.left_front`."""

    key: str


Value = Quantity | Tread | Word | LocalizedText | PartialDate | Fraction | int | date | str
"""A figure in a sentence. A `Fraction` is shown as a number, a `Share` in percent, a `str` unchanged."""


@dataclass(frozen=True)
class Said:
    """A sentence: a message key and its figures. `count` chooses the plural form."""

    key: str
    figures: Mapping[str, Value] = field(default_factory=dict)

    @property
    def count(self) -> int | None:
        """Return the number that chooses the plural form, or None if the sentence has none."""
        value = self.figures.get("count")
        return value if isinstance(value, int) else None


@dataclass(frozen=True)
class Limit:
    """A limit for a measurement, with its source and reliability."""

    value: Depth
    source: str
    known: Certainty


@dataclass(frozen=True)
class DepthSpan:
    """A depth when new: exact if known, else the typical range."""

    low: Depth
    high: Depth
    known_by: KnownBy


@dataclass(frozen=True)
class Renewal:
    """The renewal of a part after its measurement: work done, or a promise before delivery."""

    what: LocalizedText
    on: date | None
    """The day of the work. None for a promise."""
    at: Distance | None = None

    @property
    def promised(self) -> bool:
        """Return whether it is a promise that is not done yet."""
        return self.on is None
