"""Base types of reference figures: a value with its source and how far the source can be trusted."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, model_validator

from sitegen.records.base import Record, input_error
from sitegen.records.quantities import Depth, Distance, FilmThickness, Share

Positive = Annotated[int, Field(gt=0)]


class Certainty(StrEnum):
    """How a reference figure is known: verified at its source, from memory, or common practice."""

    VERIFIED = "verified"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"
    OWN_ASSUMPTION = "own assumption"
    """An assumption of this project, because no suitable figure is published."""


class Sourced(Record):
    """A figure with its source: a rule, a standard, a study, or the practice of the trade."""

    source: Annotated[str, Field(min_length=3)]
    known: Certainty


class DepthFigure(Sourced):
    """One depth or thickness."""

    value: Depth


class DepthRange(Sourced):
    """A range of depths or thicknesses that vary from product to product."""

    low: Depth
    high: Depth

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        _check_order(self.low <= self.high)
        return self


class DistanceRange(Record):
    """A range of distances. Without `high` there is no reliable upper figure."""

    low: Distance
    high: Distance | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        _check_order(self.high is None or self.low <= self.high)
        return self


class Months(Record):
    """A span of calendar months."""

    low: Positive
    high: Positive

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        _check_order(self.low <= self.high)
        return self


class Life(DistanceRange, Sourced):
    """The distance that a part typically lasts."""


class LifeInMonths(Months, Sourced):
    """The time that a part typically lasts."""


class ShareFigure(Sourced):
    """One share of a whole."""

    value: Share


class FilmFigure(Sourced):
    """One thickness of paint."""

    value: FilmThickness


class DistanceFigure(Sourced):
    """One distance."""

    value: Distance


class SpreadFigure(Sourced):
    """The range that holds 8 of 10 cases, in percent of the given figure."""

    low: Positive
    high: Positive


class ChanceFigure(Sourced):
    """A probability."""

    percent: Annotated[int, Field(ge=0, le=100)]


class OutlookFigures(Record):
    """The contents of `outlook.yaml`."""

    price_level: SpreadFigure
    """The spread of all prices of one vehicle together."""
    driver_wear: SpreadFigure
    """The spread of the next driver's wear, relative to the last driver's."""
    yearly_distance: SpreadFigure
    """The spread of the yearly distance, relative to the figure that the shopper entered."""
    may_be_due: ChanceFigure
    """The chance that an item is due at once when a check found a fault without a description."""


def _check_order(in_order: bool) -> None:
    if not in_order:
        raise input_error("the lower figure first", "swap `low` and `high`")


class WindowForm(Sourced):
    """The used vehicles that must carry the window form with the terms of sale."""

    below_pounds: Positive
    """Gross vehicle weight rating from which a vehicle needs no form, in pounds."""
