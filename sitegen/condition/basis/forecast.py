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

    Spans of distance are in the outlook's unit, rounded outward. Spans count from the day of the odometer reading.
    """

    key: str
    """front_tires, all_tires, rear_brakes, battery, or the key of a service."""
    distance: WholeSpan | None
    """Distance until it needs doing; None where it does not go by distance, or nobody can say."""
    days: WholeSpan | None
    """Days until it needs doing, however little is driven."""
    again_distance: WholeSpan | None = None
    """How far the renewed part lasts."""
    again_months: WholeSpan | None = None
    """How many months it lasts, however little is driven."""
    cost: CostRange | None = None
    """What doing it once costs; None: the store lists no price."""
    no_record: bool = False
    """No record shows when it was last done: budget for it now if it may be due already."""


@dataclass(frozen=True)
class OutlookFacts:
    """The facts of every item, in the unit of the region: what the page carries and the browser computes from."""

    unit: DistanceUnit
    items: tuple[ItemFacts, ...]
    odometer_counts: bool = True
    """Whether the odometer can be relied on. If not, what goes by distance may come at any time."""


@dataclass(frozen=True)
class ItemOutlook:
    """When one item needs doing, and how often in the first, second and third year and in all three together."""

    key: str
    band_from: Band
    band_to: Band
    months: WholeSpan | None
    """Whole months, rounded outward; None where there is no basis."""
    budget_now: bool
    """No record, and it may be due already."""
    by_time: bool
    """Days alone decide when, at both ends, however far it could still go."""
    least: tuple[int, ...]
    """The least number of times in each of the four windows."""
    most: tuple[int, ...]


@dataclass(frozen=True)
class WindowCost:
    """What the priced items cost in one window: a year, or the three years. All in hundredths of the currency."""

    least: int
    most: int
    middle: int | None
    """The mean, all dates, repeats and prices being equally likely within their limits; None: not to be said."""
    likely: CostRange | None = None
    """What leaves out one case in ten at each end; only of windows that begin at once. It holds the middle."""


@dataclass(frozen=True)
class PlanFigure:
    """A figure to plan with, rounded as one would say it, in hundredths of the currency."""

    about: int
    likely: CostRange | None
    """Of 8 cases in 10."""


@dataclass(frozen=True)
class LeftOut:
    """Items that a sum leaves out, or counts in a way that a reader should know; keys, in the outlook's order."""

    not_priced: tuple[str, ...]
    """They may come within the three years, and the store's list has no price."""
    no_basis: tuple[str, ...]
    """Nobody can say when they will come; in no sum, unless they are in `any_time`."""
    any_time: tuple[str, ...]
    """They go by distance and the odometer does not help: the most counts them from the first day."""
    at_once: tuple[str, ...]
    """They may be needed at once, as a check found, and nobody can say by when: the middle counts them at once, the
    least does not."""
    no_record: tuple[str, ...]
    """They may be due at once: the middle counts only the chance of that."""


@dataclass(frozen=True)
class Outlook:
    """The outlook at one distance a year, the most urgent item first."""

    unit: DistanceUnit
    a_year: int
    items: tuple[ItemOutlook, ...]
    years: tuple[WindowCost, WindowCost, WindowCost]
    whole: WindowCost
    """The three years together. Each window stands by itself, so least and most of the years do not add up to it."""
    left_out: LeftOut

    def due_now(self) -> list[str]:
        """Return the keys of what is surely due."""
        return [item.key for item in self.items if item.band_to is Band.DUE_NOW]

    def without_record(self) -> list[str]:
        """Return the keys of what to budget for now, since no record shows when it was last done."""
        return [item.key for item in self.items if item.budget_now]


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
