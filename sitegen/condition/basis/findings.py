"""What the measurements mean: the findings, the gate, and all of it together, as plain frozen values.

A finding is an interval wherever the truth is one, says how it is known, and says nothing that was not measured,
written down or typical. Words are message keys with their figures; `pages` turns them into sentences.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from sitegen.condition.basis.facts import StandingFact
from sitegen.condition.basis.forecast import Outlook, OutlookFacts, OutlookLine
from sitegen.condition.basis.values import DepthSpan, Limit, Renewal, Said, Span
from sitegen.records.base import LocalizedText
from sitegen.records.quantities import Depth, Distance, FilmThickness, Share, Temperature
from sitegen.records.vehicle import OdometerStatement, Wheel
from sitegen.records.wear import FluidGrade, HealthMethod, TireKind, TreadDepths

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
    replace: bool
    """Tested below the figure at which it is to be replaced."""
    renewed: Renewal | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class TractionBatteryFinding:
    """What was found at the battery that drives the vehicle."""

    likely: Span | None
    """Share of the new battery's energy that is likely left, with the error of the display."""
    method: HealthMethod | None
    floor: Share | None
    """What UN GTR No. 22 asks of new types at this age and distance; None beyond its last step."""
    range_at_full: Distance | None
    remarks: tuple[Said, ...] = ()


@dataclass(frozen=True)
class FluidFinding:
    """What was found at a fluid."""

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
    """What changed since the inspection before."""

    on: date
    """The day of that inspection."""
    driven: Distance | None
    """How far was driven since, up to this one."""
    changed: tuple[Said, ...]
    same: int
    """How many figures were measured both times and read the same."""
    not_again: tuple[Said, ...]
    """What an earlier inspection noted and this one says nothing of."""
    earlier: tuple[date, ...]
    """The days of all earlier inspections, the latest first."""


@dataclass(frozen=True)
class PlainFinding:
    """What a judge found that no other kind of finding holds. A page shows it under what was measured."""

    heading: str
    """Message key of the heading; findings of one heading stand together."""
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
    """Something that holds the page back until the record says what will be done."""

    path: tuple[str | int, ...]
    """Where it stands in the record: ("tires", "left_front", "tread", "inner")."""
    said: Said
    is_question: bool = False
    """Whether saying why it is harmless answers it too."""
    defect: str | None = None
    """Id of the defect that it is about."""

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


@dataclass(frozen=True)
class Condition:
    """Everything that was worked out about one vehicle, as of a day."""

    as_of: date
    findings: tuple[Finding, ...]
    lines: tuple[OutlookLine, ...]
    """By key, what stands behind each item of the outlook."""
    facts: OutlookFacts
    outlook: Outlook
    standing: tuple[StandingFact, ...]
    """What a buyer should know and nobody has put right, the worst first."""
    gate: Gate

    def of(self, kind: type[AnyFinding]) -> tuple[AnyFinding, ...]:
        """Return the findings of one kind, in order: `condition.of(TireFinding)`."""
        return tuple(finding for finding in self.findings if isinstance(finding, kind))

    def line(self, key: str) -> OutlookLine:
        """Return what stands behind one item of the outlook. Raises StopIteration for a key that there is not."""
        return next(line for line in self.lines if line.facts.key == key)
