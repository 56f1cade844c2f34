"""The rules of standing facts: figures that hold a page back, expected equipment, the implied subjects of places."""

from __future__ import annotations

from enum import StrEnum

from sitegen.records.base import Record
from sitegen.records.quantities import Depth, Pressure
from sitegen.records.sourced import Positive, Sourced


class Rule(StrEnum):
    """The effect of a standing fact on the page."""

    HOLD = "hold"
    """The page is held back until the record promises a repair."""
    QUESTION = "question"
    """The page is held back until the record says that it concerns safety, or why it is harmless."""
    STATE_FIRST = "state first"
    """The page states it before everything else."""
    LIST = "list"
    """The page states it in its section."""


class FigureRule(Sourced):
    """The effect of a figure on the page."""

    rule: Rule


class DepthRule(FigureRule):
    """A depth or thickness from which a rule applies."""

    value: Depth


class PressureRule(FigureRule):
    """A tire pressure below which a rule applies."""

    value: Pressure


class ShareRule(FigureRule):
    """A share of the figure on the door label, in percent."""

    percent: Positive


class AgeRule(FigureRule):
    """An age of a tire in years above which a rule applies."""

    years: Positive


class FigureRules(Record):
    """The effect of each figure of the record on the page, by fault."""

    tread_below_limit: FigureRule
    tread_at_limit: FigureRule
    front_tread_of_heavy: DepthRule
    """Front tread of a vehicle without a recorded weight rating that may exceed 10,000 lb."""
    tire_older_than: AgeRule
    load_below_placard: FigureRule
    load_below_weight: FigureRule
    """Four tires that together carry less than the gross vehicle weight rating."""
    speed_below_placard: FigureRule
    temporary_spare_on_road: FigureRule
    sizes_differ: ShareRule
    """Two sizes of tire on one axle."""
    pressure_below: PressureRule
    pressure_below_label: ShareRule
    pressure_above_label: ShareRule
    pressure_above: PressureRule
    lining_below_limit: FigureRule
    lining_at_limit: FigureRule
    lining_difference: DepthRule
    metal_beyond_discard: FigureRule
    metal_at_discard: FigureRule
    battery_weak: FigureRule
    rotor_thin_front: DepthRule
    rotor_thin_rear: DepthRule
    rotor_difference: DepthRule
    """The difference between the rotors of one axle without a discard figure."""
    fluid_moisture: FigureRule
    fluid_boiling: FigureRule


class ExpectedFrom(Sourced):
    """Equipment that a vehicle needs to be safe, and the first model year that has it."""

    year: Positive


class StandingRules(Record):
    """The contents of `standing.yaml`."""

    figures: FigureRules
    expected: dict[str, ExpectedFrom]
    """By check point: `not fitted` is a fault on a vehicle of this model year or later."""
    stands_for: dict[str, tuple[str, ...]]
    """The implied subject of a place in the record: groups of the lexicons, by path."""
    vital: tuple[str, ...]
    """Groups of parts about which a note must say something good, or deny a fault."""
    vital_in_notes: tuple[str, ...]
    """The same for the record's notes, which are about many things."""
    vital_when_bad: tuple[str, ...]
    """The same for the note on a check that needs attention."""
    implied_bad: tuple[str, ...]
    """Kinds of defect that imply that a part fails."""
    heavy_bodies: tuple[str, ...]
    """Bodies whose gross weight rating may exceed 10,000 lb."""
    strand_points: tuple[str, ...]
    """Check points where a fault may leave a driver at the roadside."""
    strand_kinds: tuple[str, ...]
