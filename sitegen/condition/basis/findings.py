"""The types of findings, of the gate's decision, and of a vehicle's whole condition. All are frozen values.

A finding is an interval wherever the truth is one, and carries how it is known. It never contains a figure that was
not measured, recorded or typical. Texts are message keys with their figures; `pages` makes sentences of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from sitegen.condition.basis.facts import StandingFact
from sitegen.condition.basis.forecast import Offer, Outlook, OutlookFacts, OutlookLine
from sitegen.condition.basis.values import DepthSpan, Limit, Renewal, Said, Span
from sitegen.records.base import LocalizedText
from sitegen.records.quantities import Depth, Distance, FilmThickness, Share, Temperature
from sitegen.records.vehicle import OdometerStatement, Wheel
from sitegen.records.wear import FluidGrade, HealthMethod
from sitegen.records.wheels.tires import TireKind, TreadDepths

AnyFinding = TypeVar("AnyFinding")

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
    section_width: Fraction
    """Millimetres."""
    diameter: Fraction
    """Overall diameter in millimetres, exactly."""
    rim: Fraction
    """Inches."""
    load_index: int | None = None
    speed_symbol: str | None = None
    load_index_dual: int | None = None
    """Load index of the tire as one of two on a side of an axle."""
    load_range: str | None = None
    """Letter of the load range of a light-truck tire."""
    is_temporary: bool = False
    """Whether it is a temporary spare of type T."""

    def load_index_as(self, *, dual: bool) -> int | None:
        """Return the load index that applies to one of two tires on a side (`dual`), or else to the only one.

        None if the size states none.
        """
        return self.load_index_dual if dual and self.load_index_dual is not None else self.load_index


@dataclass(frozen=True)
class MadeIn:
    """When a tire was made, by its date code: the interval of days that the code allows."""

    week_begins: date | None
    """The first day of the week of making. None for a three-digit code, which does not give the decade."""
    earliest: date | None
    latest: date
    week: int


@dataclass(frozen=True)
class TireFinding:
    """The findings about one tire."""

    wheel: Wheel
    size: TireSize | None
    kind: TireKind | None
    depths: TreadDepths | None
    lowest: Depth | None
    lowest_place: str | None
    """The place of the lowest tread: outer, center or inner."""
    limit: Limit | None
    plan: Limit
    new: DepthSpan
    usable: Span | None
    """The share of usable tread left, 0 to 1, counted from the limit and not from zero."""
    of_original: Span | None
    """The share of the depth when new that is left, 0 to 1."""
    shape: WearShape
    spread: Depth | None
    """The deepest minus the lowest point across this tire."""
    made: MadeIn | None
    below_limit: bool
    """Whether the lowest point is below the inspection figure and the tire was not renewed since."""
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class SetFinding:
    """The findings from comparing the tires with each other, or the brakes of an axle."""

    about: str
    """What was compared: tires or brakes."""
    remarks: tuple[Said, ...]


# Brakes


@dataclass(frozen=True)
class BrakeFinding:
    """The findings about the brake of one wheel."""

    wheel: Wheel
    kind: str
    """The type of brake: disc or drum."""
    linings: Mapping[str, Depth]
    """The thickness of the inner and outer pad, or leading and trailing shoe, as far as measured."""
    thinnest: Depth | None
    thinnest_place: str | None
    limit: Limit | None
    """The region's inspection figure."""
    replace_at: Limit
    """The thickness at which shops commonly replace the lining."""
    new: DepthSpan
    usable: Span | None
    """The share of the lining left above `replace_at`, 0 to 1."""
    metal: Depth | None
    """The rotor's thickness, or the drum's inside diameter."""
    discard: Depth | None
    discard_marked: bool | None
    """Whether a discard figure is marked on the metal. None if that was not recorded."""
    metal_margin: Depth | None
    """The distance to the discard figure; zero at or beyond it."""
    metal_beyond_discard: bool
    difference: Depth | None
    """The difference between the two linings of this wheel."""
    below_limit: bool
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


# Batteries, fluids, use, body


@dataclass(frozen=True)
class BatteryFinding:
    """The findings about the 12 V battery."""

    cranking: Fraction | None
    """The tested cold cranking current divided by the rated one, 0 to about 1.2."""
    charge: str | None
    """The band of charge by resting voltage: charged, three_quarters, half or low. None if not rested or not read."""
    replace: bool
    """Whether the test is below the figure at which the battery must be replaced."""
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class TractionBatteryFinding:
    """The findings about the high-voltage battery that drives the vehicle."""

    likely: Span | None
    """The share of the new battery's energy that is left, as a range for the error of the display."""
    method: HealthMethod | None
    floor: Share | None
    """The least share that UN GTR No. 22 requires at this age and distance. None beyond its last step."""
    range_at_full: Distance | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class FluidFinding:
    """The findings about one fluid."""

    grade: FluidGrade | None
    moisture: Share | None
    freezes_at: Temperature | None
    replace: bool
    plan: bool
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class UseFinding:
    """The distance driven, by the odometer and the odometer statement."""

    statement: OdometerStatement
    reading: Distance | None
    a_year: Distance | None
    """The average distance a year since January 1 of the model year. None if the reading is not reliable."""
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class TermsFinding:
    """Whether the vehicle must carry the window form with the terms of sale."""

    has_window_form: bool
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class PaintFinding:
    """Paint thickness at one panel."""

    panel: LocalizedText
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


@dataclass(frozen=True)
class SinceFinding:
    """The changes since the previous look at the vehicle (an inspection, or a visit at which it was examined)."""

    on: date
    """The day of that look."""
    driven: Distance | None
    """The distance driven between the two inspections."""
    changed: tuple[Said, ...]
    same: int
    """The number of figures that read the same at both looks."""
    earlier: tuple[date, ...]
    """All earlier days on which somebody looked at the vehicle, latest first."""


@dataclass(frozen=True)
class PlainFinding:
    """A finding that no other type fits: a heading and sentences. A page shows it under what was measured."""

    heading: str
    """The message key of the heading. Findings with the same heading are shown together."""
    remarks: tuple[Said, ...]


Finding = (
    TireFinding
    | SetFinding
    | BrakeFinding
    | BatteryFinding
    | TractionBatteryFinding
    | FluidFinding
    | UseFinding
    | TermsFinding
    | PaintFinding
    | RustFinding
    | SinceFinding
    | PlainFinding
)


# The gate


@dataclass(frozen=True)
class Hold:
    """A reason not to publish the page until the record says how the store answers it."""

    path: tuple[str | int, ...]
    """The path in the record: ("tires", "left_front", "tread", "inner")."""
    said: Said
    is_question: bool = False
    """Whether a reason why it is harmless answers it too."""
    defect: str | None = None
    """The id of the defect that it concerns."""

    @property
    def where(self) -> str:
        """Return the path as one dotted name, such as `brakes.left_front`."""
        return ".".join(str(step) for step in self.path)


@dataclass(frozen=True)
class Gate:
    """The gate's decision: whether the page may be published, the reasons against it, and its first sentences."""

    may_publish: bool
    holding: tuple[Hold, ...]
    first_words: tuple[Said, ...]


# All together


@dataclass(frozen=True)
class Judged:
    """The findings of one judge (such as `judge_tires`) about a vehicle, and its outlook lines."""

    findings: tuple[Finding, ...] = ()
    lines: tuple[OutlookLine, ...] = ()


@dataclass(frozen=True)
class Condition:
    """All findings about one vehicle, as of a day."""

    as_of: date
    findings: tuple[Finding, ...]
    lines: tuple[OutlookLine, ...]
    """The basis of each item of the outlook, by key."""
    facts: OutlookFacts
    outlook: Outlook
    standing: tuple[StandingFact, ...]
    """The standing facts, the worst first."""
    gate: Gate
    offers: tuple[Offer, ...] = ()
    """Work that the store offers to do before delivery."""

    def of(self, kind: type[AnyFinding]) -> tuple[AnyFinding, ...]:
        """Return the findings of one kind, in order: `condition.of(TireFinding)`."""
        return tuple(finding for finding in self.findings if isinstance(finding, kind))

    def line(self, key: str) -> OutlookLine:
        """Return the basis of one item of the outlook. Raises StopIteration for an unknown key."""
        return next(line for line in self.lines if line.facts.key == key)
