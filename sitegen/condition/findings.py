"""What the measurements mean: the findings, the outlook and the gate, as plain frozen values.

A finding is an interval wherever the truth is one, says how it is known, and says nothing that was not measured,
written down or typical. Words are message keys with their figures; `pages` turns them into sentences.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from sitegen.records.base import PartialDate, Text
from sitegen.records.figures import DistanceUnit, Known, Sourced
from sitegen.records.quantities import Depth, Distance, FilmThickness, Quantity, Share, Temperature
from sitegen.records.vehicle import OdometerStatement
from sitegen.records.wear import FluidGrade, HealthMethod, TireKind, TreadDepths

# How it is known, and how it is said


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


Value = Quantity | Tread | Word | Text | PartialDate | Fraction | int | date | str
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


class Wheel(StrEnum):
    """A wheel; left is the driver's left when seated facing forward."""

    LEFT_FRONT = "left_front"
    RIGHT_FRONT = "right_front"
    LEFT_REAR = "left_rear"
    RIGHT_REAR = "right_rear"
    SPARE = "spare"


@dataclass(frozen=True)
class Limit:
    """A limit that a measurement is held against, and how far it can be trusted."""

    value: Depth
    source: str
    known: Known


@dataclass(frozen=True)
class DepthSpan:
    """A depth when new: one figure where it is known, a typical range where not."""

    low: Depth
    high: Depth
    known_by: KnownBy


@dataclass(frozen=True)
class Renewal:
    """A part that was renewed after it was measured, or will be before delivery."""

    what: Text
    on: date | None
    """None: it is promised, not yet done."""
    at: Distance | None = None

    @property
    def promised(self) -> bool:
        """Whether it is still to be done."""
        return self.on is None


# Tires


class WearShape(StrEnum):
    """The shape of wear across a tire."""

    EVEN = "even"
    BOTH_SHOULDERS = "both shoulders"
    CENTER = "center"
    OUTER_SIDE = "outer side"
    INNER_SIDE = "inner side"
    NOT_KNOWN = "not known"


@dataclass(frozen=True)
class TireSize:
    """A tire size as parsed from its sidewall, and its nominal geometry (see tire_sizes.py)."""

    written: str
    notation: str
    """metric, P-metric, LT, ST, T or flotation."""
    section_width: Fraction
    """Millimetres."""
    diameter: Fraction
    """Overall diameter in millimetres, exactly."""
    rim: Fraction
    """Inches."""
    load_index: int | None = None
    dual_load_index: int | None = None
    speed_symbol: str | None = None
    load_range: str | None = None
    """XL, SL, or a letter for a light-truck tire."""


@dataclass(frozen=True)
class MadeIn:
    """When a tire was made, by its date code: the interval of days that the code allows."""

    week_begins: date | None
    """None for a code of three digits, which does not tell the decade."""
    earliest: date | None
    latest: date
    week: int


@dataclass(frozen=True)
class TireFinding:
    """What was found at one tire."""

    wheel: Wheel
    size: TireSize | None
    kind: TireKind | None
    depths: TreadDepths | None
    lowest: Depth | None
    lowest_place: str | None
    """outer, center or inner."""
    limit: Limit | None
    plan: Limit
    new: DepthSpan
    usable: Span | None
    """Share of usable tread left, 0 to 1: counted from the limit, not from zero."""
    of_original: Span | None
    """Share of the depth when new that is left, 0 to 1."""
    shape: WearShape
    spread: Depth | None
    """Deepest less lowest across this tire."""
    made: MadeIn | None
    age_years: Span | None
    below_limit: bool
    """Lowest point below the inspection figure, and not renewed since."""
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class SetFinding:
    """What was found by comparing the tires with each other, or the brakes of an axle."""

    about: str
    """tires or brakes."""
    remarks: tuple[Said, ...]


# Brakes


@dataclass(frozen=True)
class BrakeFinding:
    """What was found at the brake of one wheel."""

    wheel: Wheel
    kind: str
    """disc or drum."""
    linings: Mapping[str, Depth]
    """inner and outer pad, or leading and trailing shoe, as far as measured."""
    thinnest: Depth | None
    thinnest_place: str | None
    limit: Limit | None
    """The region's inspection figure."""
    replace_at: Limit
    """Where shops commonly replace."""
    new: DepthSpan
    usable: Span | None
    """Share left above `replace_at`, 0 to 1."""
    metal: Depth | None
    """Rotor thickness, or inside diameter of the drum."""
    discard: Depth | None
    discard_marked: bool | None
    """False: looked, and no figure is marked. None: not recorded."""
    metal_margin: Depth | None
    """What is left to the discard figure; zero when at or beyond it."""
    metal_beyond_discard: bool
    difference: Depth | None
    """Between the two linings of this wheel."""
    below_limit: bool
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


# Batteries, fluids, use, body


@dataclass(frozen=True)
class BatteryFinding:
    """What was found at the 12 V battery."""

    cranking: Fraction | None
    """Tested against rated cold cranking current, 0 to about 1.2."""
    charge: str | None
    """Band of charge by the resting voltage: charged, three_quarters, half or low. None: not rested or not read."""
    age_years: Span | None
    replace: bool
    """Tested below the figure at which it is to be replaced."""
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class TractionBatteryFinding:
    """What was found at the battery that drives the vehicle."""

    health: Share | None
    likely: Span | None
    """Share of the new battery's energy that is likely left, with the error of the display."""
    method: HealthMethod | None
    floor: Share | None
    """What UN GTR No. 22 asks of new types at this age and distance; None beyond its last step."""
    below_floor: bool
    range_at_full: Distance | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class FluidFinding:
    """What was found at a fluid."""

    fluid: str
    """brake_fluid or coolant."""
    grade: FluidGrade | None
    moisture: Share | None
    freezes_at: Temperature | None
    replace: bool
    plan: bool
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class UseFinding:
    """How far the vehicle was driven, by the odometer and its statement."""

    statement: OdometerStatement
    reading: Distance | None
    a_year: Distance | None
    """Average a year since January 1 of the model year; None where the reading cannot be relied on."""
    average: Distance
    average_source: Sourced
    may_project: bool
    """Whether anything may be worked out per mile: only where the statement is that the reading is actual."""
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class PaintFinding:
    """Paint thickness at one panel."""

    panel: Text
    lowest: FilmThickness
    highest: FilmThickness
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class RustFinding:
    """Rust at one disclosed defect."""

    defect: str
    grade: str | None
    """Degree of ISO 4628-3, where the rusted share of the area was given."""
    remarks: tuple[Said, ...] = ()


Finding = (
    TireFinding
    | SetFinding
    | BrakeFinding
    | BatteryFinding
    | TractionBatteryFinding
    | FluidFinding
    | UseFinding
    | PaintFinding
    | RustFinding
)
AnyFinding = TypeVar("AnyFinding")


# The outlook


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


# The gate


@dataclass(frozen=True)
class Hold:
    """Something that holds the page back until the record says what will be done."""

    path: tuple[str | int, ...]
    """Where it stands in the record: ("tires", "left_front", "tread", "inner")."""
    said: Said

    @property
    def where(self) -> str:
        """The path as one dotted name."""
        return ".".join(str(step) for step in self.path)


@dataclass(frozen=True)
class Gate:
    """Whether the page may be published, what holds it, and what it must say first."""

    may_publish: bool
    holding: tuple[Hold, ...]
    first_words: tuple[Said, ...]


# All together


@dataclass(frozen=True)
class Judged:
    """What one judge has to say about a vehicle."""

    findings: tuple[Finding, ...] = ()
    lines: tuple[OutlookLine, ...] = ()
    holds: tuple[Hold, ...] = ()


@dataclass(frozen=True)
class Condition:
    """Everything that was worked out about one vehicle, as of a day."""

    as_of: date
    findings: tuple[Finding, ...]
    lines: tuple[OutlookLine, ...]
    """By key, what stands behind each item of the outlook."""
    facts: OutlookFacts
    outlook: Outlook
    gate: Gate

    def of(self, kind: type[AnyFinding]) -> tuple[AnyFinding, ...]:
        """Return the findings of one kind, in order: `condition.of(TireFinding)`."""
        return tuple(finding for finding in self.findings if isinstance(finding, kind))

    def line(self, key: str) -> OutlookLine:
        """Return what stands behind one item of the outlook. Raises StopIteration for a key that there is not."""
        return next(line for line in self.lines if line.facts.key == key)
