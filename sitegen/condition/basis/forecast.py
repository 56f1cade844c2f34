"""What the outlook is made of: the facts of each item, and what follows from them at one distance a year."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sitegen.condition.basis.values import KnownBy, Said, WholeSpan
from sitegen.records.figures import DistanceUnit


class Band(StrEnum):
    """When something needs doing, at the distance a year that the shopper drives."""

    DUE_NOW = "due now"
    FIRST_YEAR = "first year"
    SECOND_YEAR = "second year"
    THIRD_YEAR = "third year"
    LATER = "later"
    NO_BASIS = "no basis to say"


@dataclass(frozen=True)
class CostRange:
    """A cost from low to high, in hundredths of the store's currency."""

    low: int
    high: int


@dataclass(frozen=True)
class ItemFacts:
    """All that is needed to work out one item's outlook for any distance a year: whole numbers only.

    Spans of distance are in the outlook's unit, already rounded outward; spans of time are whole months.
    """

    key: str
    """front_tires, all_tires, rear_brakes, battery, or the key of a service."""
    distance: WholeSpan | None
    """Distance from now until it needs doing; None where it does not go by distance, or nobody can say."""
    months: WholeSpan | None
    """Calendar months from now until it needs doing, however little is driven."""
    again_distance: WholeSpan | None = None
    """How far the renewed part lasts."""
    again_months: WholeSpan | None = None
    cost: CostRange | None = None
    """What doing it once costs; None: the store lists no price."""
    no_record: bool = False
    """No record shows when it was last done: budget for it now if it may be due already."""


@dataclass(frozen=True)
class OutlookFacts:
    """The facts of every item, in the unit of the region: what the page carries and the browser computes from."""

    unit: DistanceUnit
    items: tuple[ItemFacts, ...]


@dataclass(frozen=True)
class ItemOutlook:
    """When one item needs doing, how often within three years, and how it falls on the years."""

    key: str
    band_from: Band
    band_to: Band
    months: WholeSpan | None
    """Whole months from now, rounded outward; None where there is no basis."""
    budget_now: bool
    """No record, and it may be due already."""
    by_time: bool
    """Months alone decide when, at both ends, however far it could still go."""
    surely: tuple[int, int, int]
    """Times it surely comes in each year: it can come in no other."""
    possibly: tuple[int, int, int]
    """Further times it may come, each counted once, in the first year in which it may."""
    surely_in_all: int
    possibly_in_all: int


@dataclass(frozen=True)
class YearCost:
    """Cost of one year of ownership, of priced items only."""

    year: int
    surely: CostRange
    possibly: CostRange


@dataclass(frozen=True)
class WholeCost:
    """Cost of the three years together. What surely comes, but in a year that cannot be told, is sure only here."""

    surely: CostRange
    possibly: CostRange


@dataclass(frozen=True)
class Outlook:
    """The outlook at one distance a year, the most urgent item first."""

    unit: DistanceUnit
    a_year: int
    items: tuple[ItemOutlook, ...]
    years: tuple[YearCost, YearCost, YearCost]
    whole: WholeCost
    not_priced: tuple[str, ...]
    """Items that may come within the three years and have no price in the store's list."""


@dataclass(frozen=True)
class OutlookLine:
    """What stands behind an item's outlook, and does not change with the distance a year."""

    facts: ItemFacts
    known_by: KnownBy
    basis: tuple[Said, ...]
    """How it was worked out, or why it cannot be."""
    services: tuple[str, ...]
    """Keys of the price list that it may take, the least first."""
    count: int = 1
    """How many of it: two tires of an axle, four of a set."""
