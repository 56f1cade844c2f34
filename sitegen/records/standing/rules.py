"""Rules of standing facts: which figures hold a page, what equipment is expected, what a place speaks of."""

from __future__ import annotations

from enum import StrEnum

from sitegen.records.base import Record
from sitegen.records.quantities import Depth, Pressure
from sitegen.records.sourced import Positive, Sourced


class Rule(StrEnum):
    """What a standing fact does to the page."""

    HOLD = "hold"
    """The page waits until the record promises a repair."""
    QUESTION = "question"
    """The page waits until the record says that it is safety, or why it is harmless."""
    STATE_FIRST = "state first"
    """The page says it before anything else."""
    LIST = "list"
    """The page says it in its place."""


class FigureRule(Sourced):
    """What a figure does to the page."""

    rule: Rule


class DepthRule(FigureRule):
    """A depth or thickness at which the rule begins."""

    value: Depth


class PressureRule(FigureRule):
    """A tire pressure below which the rule begins."""

    value: Pressure


class AgeRule(FigureRule):
    """An age of a tire in years beyond which the rule begins."""

    years: Positive


class FigureRules(Record):
    """What every figure of the record does to the page, by what is wrong with it."""

    tread_below_limit: FigureRule
    tread_at_limit: FigureRule
    front_tread_of_heavy: DepthRule
    """Front tread of a vehicle whose weight rating is not recorded and may exceed 10,000 lb."""
    tire_older_than: AgeRule
    load_below_placard: FigureRule
    load_below_weight: FigureRule
    """Four tires that together carry less than the gross vehicle weight rating."""
    speed_below_placard: FigureRule
    temporary_spare_on_road: FigureRule
    pressure_below: PressureRule
    pressure_above: PressureRule
    lining_below_limit: FigureRule
    lining_at_limit: FigureRule
    lining_difference: DepthRule
    metal_beyond_discard: FigureRule
    rotor_thin_front: DepthRule
    rotor_thin_rear: DepthRule
    rotor_difference: DepthRule
    """Between the rotors of one axle, where neither has a discard figure."""
    fluid_moisture: FigureRule
    fluid_boiling: FigureRule


class ExpectedFrom(Sourced):
    """Equipment without which a vehicle is not safe, and the model year from which vehicles have it."""

    year: Positive


class StandingRules(Record):
    """What `standing.yaml` holds."""

    figures: FigureRules
    expected: dict[str, ExpectedFrom]
    """By check point: `not fitted` on a vehicle of this year or later is a fault."""
    stands_for: dict[str, tuple[str, ...]]
    """What a place of the record speaks of without naming it, by its path: groups of the lexicons."""
    implied_bad: tuple[str, ...]
    """Kinds of defect that say by themselves that a part fails."""
    heavy_bodies: tuple[str, ...]
    """Bodies whose gross weight rating may exceed 10,000 lb."""
    strand_points: tuple[str, ...]
    """Check points at which attention may leave a driver at the roadside."""
    strand_kinds: tuple[str, ...]
