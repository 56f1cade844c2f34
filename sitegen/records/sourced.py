"""A figure with its source, and how far it can be trusted: what all reference figures are made of."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from sitegen.records.base import Record
from sitegen.records.quantities import Depth, Distance, FilmThickness, Share

Positive = Annotated[int, Field(gt=0)]


class Known(StrEnum):
    """How a reference figure is known."""

    VERIFIED = "verified"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"


class Sourced(Record):
    """A figure with its source: a rule, a standard, a study, or the practice of the trade."""

    source: Annotated[str, Field(min_length=3)]
    known: Known


class DepthFigure(Sourced):
    """One depth or thickness."""

    value: Depth


class DepthRange(Sourced):
    """A depth or thickness that differs from one product to the next."""

    low: Depth
    high: Depth

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        _check_order(self.low <= self.high)
        return self


class DistanceRange(Record):
    """From one distance to another. Without `high`, it is often far longer and nobody has put a figure on it."""

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
    """How far a part typically lasts."""


class LifeInMonths(Months, Sourced):
    """How long a part typically lasts."""


class ShareFigure(Sourced):
    """One share of a whole."""

    value: Share


class FilmFigure(Sourced):
    """One thickness of paint."""

    value: FilmThickness


class DistanceFigure(Sourced):
    """One distance."""

    value: Distance


def _check_order(in_order: bool) -> None:
    if not in_order:
        details = {"expected": "the lower figure first", "mend": "swap `low` and `high`"}
        raise PydanticCustomError("misread", "expected {expected}", details)
