"""One vehicle's inspection as the checks see it: what it says, where it says so, and what lies around it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from sitegen.reading.yaml.marks import Marks
from sitegen.records.figures import OdometerExemption
from sitegen.records.problems import Problem
from sitegen.records.reference import PlausibleFigures, Vocabulary
from sitegen.records.store import Region
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Standards:
    """What sheets are checked against."""

    today: date
    region: Region | None
    """None where the store's settings do not tell."""
    vocabulary: Vocabulary
    plausible: PlausibleFigures
    odometer_exemption: OdometerExemption | None
    """None where the region has no such rule, or the settings do not tell the region."""


@dataclass(frozen=True)
class Sheet:
    """A vehicle's record, or the sound part of it, with the places of its values."""

    record: VehicleRecord
    marks: Marks
    folder_name: str
    """Name of the folder that it was found in."""
    photos: Mapping[str, bool]
    """Files in its photos folder, by the path from there; true for what is only a link to a file elsewhere."""
    standards: Standards


Check = Callable[[Sheet], Iterable[Problem]]
