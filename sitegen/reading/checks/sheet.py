"""A vehicle's record as the checks receive it: values, their places in the file, photo files, and the standards."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from sitegen.reading.validation.readable_part import HIDDEN
from sitegen.reading.yaml.marks import Marks
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.figures import OdometerExemption
from sitegen.records.problems import Problem
from sitegen.records.reference import PlausibleFigures, Vocabulary
from sitegen.records.store import Region
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Standards:
    """Reference data and settings against which sheets are checked."""

    today: date
    region: Region | None
    """None if the store's settings do not name a valid region."""
    vocabulary: Vocabulary
    plausible: PlausibleFigures
    odometer_exemption: OdometerExemption | None
    """None if the region has no such rule, or is unknown."""


@dataclass(frozen=True)
class Sheet:
    """A vehicle's record, or its valid part, with the place of each value in the file."""

    record: VehicleRecord
    marks: Marks
    folder_name: str
    """Name of the vehicle's folder."""
    photos: Mapping[str, bool]
    """Files in its photos folder by relative path. True marks a symbolic link."""
    standards: Standards
    unread: frozenset[KeyPath] = frozenset()
    """Paths of values that could not be read. The record lacks them, or has a stand-in for them."""

    @property
    def is_whole(self) -> bool:
        """Return whether every value could be read."""
        return not self.unread

    def may_lack(self, *keys: str) -> bool:
        """Return whether the lists under these keys may have entries that could not be read, or not their names."""
        return any(
            path[0] in (*keys, HIDDEN) and (len(path) <= 2 or path[-1] in (*_NAMES, HIDDEN)) for path in self.unread
        )


_NAMES = ("id", "file", "photos", "settles", "renews", "about")
"""Keys by which entries of a record are named elsewhere, and the lists of such names."""

Check = Callable[[Sheet], Iterable[Problem]]
