"""The types of the outlook: facts about each item, and the results computed from them for a yearly distance."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sitegen.condition.basis.values import KnownBy, Said, WholeSpan
from sitegen.records.figures import DistanceUnit


class Band(StrEnum):
    """The period in which something falls due, at the yearly distance that the shopper drives."""

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
    """When an item first falls due. Distances are in hundredths of the outlook's unit."""

    distance: WholeSpan | None
    """The distance until it is due. None if it does not depend on distance or nobody can say."""
    days: WholeSpan | None
    """The days until it is due, however little is driven."""
    own_wear: bool = False
    """Whether the distance follows from this part's own past wear, so that it varies with the driver."""
    most_distance: WholeSpan | None = None
    """The upper limit for each end of `distance`, however slowly the part wears. None if there is no limit."""


@dataclass(frozen=True)
class ItemFacts:
    """All inputs to one item's outlook at any distance a year, as whole numbers.

    Spans of distance are in hundredths of the outlook's unit and count from the day of the odometer reading.
    """

    key: str
    """The item: front_tires, all_tires, rear_brakes, battery, or the key of a service."""
    need: NeedFacts
    again_distance: WholeSpan | None = None
    """The distance that the renewed part lasts, in hundredths of the unit."""
    again_months: WholeSpan | None = None
    """The months that the renewed part lasts, however little is driven."""
    cost: CostRange | None = None
    """The cost of doing it once. None if the store lists no price."""
    no_record: bool = False
    """Whether no record shows when it was last done. If it may be due already, it is budgeted for now."""
    not_measured: bool = False
    """Whether some of it was not measured. It is then counted as worn out, and named."""
    worst: NeedFacts | None = None
    """The need if everything that was not measured, checked or noted is as bad as possible.

    None if it equals `need`.
    """
    worst_cost: CostRange | None = None
    """The cost if everything unknown that decides the price is as dear as possible. None if it equals `cost`."""

    def scenario(self, worst: bool) -> tuple[NeedFacts, CostRange | None]:
        """Return the need and the cost.

        With `worst`, return those of the worst case where they differ from the known ones.
        """
        if not worst:
            return self.need, self.cost
        return self.worst or self.need, self.worst_cost or self.cost


@dataclass(frozen=True)
class Spreads:
    """Equally likely levels of each quantity that varies for a whole vehicle; see spreads.py."""

    price: tuple[int, ...]
    """Levels of the price, in thousandths of the list price."""
    wear: tuple[int, ...]
    """Levels of the next driver's wear, in hundredths of the last driver's."""
    distance: tuple[int, ...]
    """Levels of the yearly distance, in hundredths of the figure that the shopper entered."""
    driver_low: int
    """The least of the next driver's wear that lines show, in hundredths of the last driver's."""
    driver_high: int
    price_range: tuple[int, int]
    """The range of the price that the levels represent, in hundredths."""
    distance_range: tuple[int, int]
    may_be_due: int
    """The chance, in hundredths, that an item is due at once when the record has a fault without a description."""


@dataclass(frozen=True)
class OutlookFacts:
    """The facts about every item, in the region's unit. The page carries them, and the browser computes from them."""

    unit: DistanceUnit
    items: tuple[ItemFacts, ...]
    spreads: Spreads


@dataclass(frozen=True)
class ItemOutlook:
    """The result for one item: when it falls due."""

    key: str
    band_from: Band
    band_to: Band
    months: WholeSpan | None
    """Whole months, rounded outward. None if there is no basis."""
    budget_now: bool
    """Whether it has no record and may be due already."""
    by_time: bool
    """Whether days alone decide both ends."""
    not_measured: bool
    """Whether some of it was not measured, so that it could be due now."""


@dataclass(frozen=True)
class PlanFigure:
    """A figure to plan with and its range, rounded for display, in hundredths of the currency."""

    about: int
    low: int
    high: int


@dataclass(frozen=True)
class WindowCost:
    """The cost of the priced items that fall due within a period that begins now."""

    due: PlanFigure
    """The items due within the period. The first doing of items without a record is not included."""
    total: PlanFigure
    """`due`, and all items without a record done once now."""


@dataclass(frozen=True)
class NamedItems:
    """Keys of items that the reader of the sums must be told about, in the outlook's order."""

    not_priced: tuple[str, ...]
    """Items that may fall due within three years and have no price in the store's list."""
    no_basis: tuple[str, ...]
    """Items for which nobody can say when they fall due. No sum includes them."""
    not_measured: tuple[str, ...]
    """Items that were not measured and count as worn out."""
    at_worst: tuple[str, ...]
    """Items that the high end counts as due now or dearer, since not all was measured, checked or noted."""
    no_record: tuple[str, ...]
    """Items without a record, which are in the second sum, the dearest first."""


@dataclass(frozen=True)
class Outlook:
    """The outlook at one distance a year, the most urgent item first."""

    unit: DistanceUnit
    a_year: int
    items: tuple[ItemOutlook, ...]
    first_year: WindowCost
    whole: WindowCost
    """The cost of three years."""
    no_record: PlanFigure
    """The cost of doing every item without a record now."""
    named: NamedItems

    def due_now(self) -> list[str]:
        """Return the keys of the items that are certainly due."""
        return [item.key for item in self.items if item.band_to is Band.DUE_NOW]

    def without_record(self) -> list[str]:
        """Return the keys of the items to budget for now, since no record shows when they were last done."""
        return [item.key for item in self.items if item.budget_now]


@dataclass(frozen=True)
class Offer:
    """Work that the store offers to do before delivery, for a stated price."""

    about: str
    """The key of an outlook line, or the id of a defect."""
    is_defect: bool
    cents: int
    """Price in hundredths of the currency."""
    lines: tuple[str, ...]
    """Keys of the outlook lines that count as just done, once this is done."""


@dataclass(frozen=True)
class OutlookLine:
    """One item's facts that do not depend on the distance a year, with their basis."""

    facts: ItemFacts
    known_by: KnownBy
    basis: tuple[Said, ...]
    """How the result was computed, or why there is none."""
    services: tuple[str, ...]
    """Keys of the price list for the services that it may take, the cheapest first."""
    count: int = 1
    """The number of parts: two tires of an axle, four of a set."""
