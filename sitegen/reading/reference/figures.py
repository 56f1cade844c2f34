"""Read the reference figures that ship with sitegen. An error in them is a bug of ours, so it raises."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from sitegen.reading.reference.reference_files import read_content, read_reference
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.records.figures import (
    BatteryFigures,
    BodyFigures,
    BrakeFigures,
    Figures,
    FluidFigures,
    IntervalFigures,
    RegionFigures,
    TireFigures,
)
from sitegen.records.sourced import OutlookFigures
from sitegen.records.standing.dangers import DangerWords, Lexicons
from sitegen.records.standing.rules import StandingRules


def read_region(content: Path, region: str) -> RegionFigures:
    """Return the limits, units and rules of one region. Raises ValueError if the file is invalid."""
    return read_reference(RegionFigures, content, f"regions/{region}.yaml")


def read_figures(content: Path, region: str) -> Figures:
    """Return all reference figures, with the limits and units of one region.

    Raises ValueError, with every problem and its place, if a file is missing or invalid.
    """
    return Figures(
        region=read_region(content, region),
        tires=read_reference(TireFigures, content, "tires.yaml"),
        brakes=read_reference(BrakeFigures, content, "brakes.yaml"),
        fluids=read_reference(FluidFigures, content, "fluids.yaml"),
        batteries=read_reference(BatteryFigures, content, "batteries.yaml"),
        intervals=read_reference(IntervalFigures, content, "intervals.yaml"),
        body=read_reference(BodyFigures, content, "body.yaml"),
        standing=read_reference(StandingRules, content, "standing.yaml"),
        lexicons=read_lexicons(content),
        outlook=read_reference(OutlookFigures, content, "outlook.yaml"),
        vocabulary=read_vocabulary(content),
    )


@cache
def read_lexicons(content: Path) -> Lexicons:
    """Return the danger lexicon of each language that has one. Raises ValueError if a file is invalid."""
    files = sorted(content.glob("*/dangers.yaml"))
    return Lexicons(
        {file.parent.name: read_content(DangerWords, content, f"{file.parent.name}/{file.name}") for file in files}
    )
