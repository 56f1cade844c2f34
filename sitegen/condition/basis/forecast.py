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
class NeedFacts:
    """When an item is first needed, and for how much. Distances are in hundredths of the outlook's unit."""

    distance: WholeSpan | None
    """Distance until it needs doing; None where it does not go by distance, or nobody can say."""
    days: WholeSpan | None
    """Days until it needs doing, however little is driven."""
    own_wear: bool = False
    """The distance follows from how this part has worn so far, so that it changes with the driver."""
    most_distance: WholeSpan | None = None
    """The most that is counted on at each end, however slowly it wears; None: as far as `distance` says."""


@dataclass(frozen=True)
class ItemFacts:
    """All that is needed to work out one item's outlook for any distance a year: whole numbers only.

    Spans of distance are in hundredths of the outlook's unit. Spans count from the day of the odometer reading.
    """

    key: str
    """front_tires, all_tires, rear_brakes, battery, or the key of a service."""
    need: NeedFacts
    again_distance: WholeSpan | None = None
    """How far the renewed part lasts, in hundredths of the unit."""
    again_months: WholeSpan | None = None
    """How many months it lasts, however little is driven."""
    cost: CostRange | None = None
    """What doing it once costs; None: the store lists no price."""
    no_record: bool = False
    """No record shows when it was last done: budget for it now if it may be due already."""
    not_measured: bool = False
    """Some of it was not measured: it is counted as worn out, and named."""
    worst: NeedFacts | None = None
    """The need if all that was not measured, checked or noted is as bad as it may be; None: `need` holds."""
    worst_cost: CostRange | None = None
    """The cost if what decides the price is as dear as it may be; None: `cost` holds."""

    def scenario(self, worst: bool) -> tuple[NeedFacts, CostRange | None]:
        """Return need and cost: as they are known, or at their worst."""
        if not worst:
            return self.need, self.cost
        return self.worst or self.need, self.worst_cost or self.cost


@dataclass(frozen=True)
class Spreads:
    """Levels of what varies for a whole vehicle, each as likely as the next; see spreads.py."""

    price: tuple[int, ...]
    """Of the price level, in thousandths of the list."""
    wear: tuple[int, ...]
    """Of the next driver's wear, in hundredths of the last one's."""
    distance: tuple[int, ...]
    """Of the distance driven in a year, in hundredths of the figure that was named."""
    driver_low: int
    """The range of the next driver's wear that lines show, in hundredths: least."""
    driver_high: int
    price_range: tuple[int, int]
    """The range of the price level that the levels stand for, in hundredths."""
    distance_range: tuple[int, int]
    may_be_due: int
    """Chance, in hundredths, that something is due at once where nobody noted what the fault was."""


@dataclass(frozen=True)
class OutlookFacts:
    """The facts of every item, in the unit of the region: what the page carries and the browser computes from."""

    unit: DistanceUnit
    items: tuple[ItemFacts, ...]
    spreads: Spreads


@dataclass(frozen=True)
class ItemOutlook:
    """When one item needs doing."""

    key: str
    band_from: Band
    band_to: Band
    months: WholeSpan | None
    """Whole months, rounded outward; None where there is no basis."""
    budget_now: bool
    """No record, and it may be due already."""
    by_time: bool
    """Days alone decide when, at both ends, however far it could still go."""
    not_measured: bool
    """Some of it was not measured: it could be due now."""


@dataclass(frozen=True)
class PlanFigure:
    """A figure to plan with and the range about it, rounded as one would say it, in hundredths of the currency."""

    about: int
    low: int
    high: int


@dataclass(frozen=True)
class WindowCost:
    """What the priced items cost within a stretch of time that begins at once."""

    due: PlanFigure
    """What is due within it; without the first doing of what has no record."""
    total: PlanFigure
    """That, and what has no record done at once."""


@dataclass(frozen=True)
class NamedItems:
    """Keys of items that a reader of the sums has to know of, in the outlook's order."""

    not_priced: tuple[str, ...]
    """They may come within the three years, and the store's list has no price."""
    no_basis: tuple[str, ...]
    """Nobody can say when they will come; they are in no sum."""
    not_measured: tuple[str, ...]
    """They were not measured, and are counted as worn out."""
    at_worst: tuple[str, ...]
    """The high end counts them as due now or as dearer, for not all of it was measured, checked or noted."""
    no_record: tuple[str, ...]
    """They have no record, and are in the second sum: the dearest first."""


@dataclass(frozen=True)
class Outlook:
    """The outlook at one distance a year, the most urgent item first."""

    unit: DistanceUnit
    a_year: int
    items: tuple[ItemOutlook, ...]
    first_year: WindowCost
    whole: WindowCost
    """Three years."""
    no_record: PlanFigure
    """All that has no record, done at once."""
    named: NamedItems

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
