"""Types of the reference data that all stores share: check points, kinds of defect, services, plausible ranges.

The data files are in `content/reference/`.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from functools import cache, cached_property, lru_cache
from typing import Generic, TypeVar

from pydantic import RootModel

from sitegen.records.base import LocalizedText, Record
from sitegen.records.disclosure import Affects, Station
from sitegen.records.quantities import Depth, Distance, FilmThickness, Pressure, Quantity, Voltage
from sitegen.records.sourced import Sourced
from sitegen.records.vehicle import Fuel

Reading = TypeVar("Reading", bound=Quantity)


class PlausibleRange(Sourced, Generic[Reading]):
    """The range of plausible values of a measurement, with the source of the range."""

    low: Reading
    high: Reading
    never_above: Reading | None = None
    """Above this a value cannot be right. None if no such limit can be given."""


class CheckPoint(Record):
    """A point that the walk-around checks. Records name it by its key in `checks`; catalogs hold its label."""

    station: Station
    only_for: tuple[str, ...] = ()
    """Fuels, drives or bodies whose vehicles have this point. Empty means that every vehicle has it."""
    not_for: tuple[str, ...] = ()
    """Fuels, drives or bodies whose vehicles do not have this point. Takes precedence over `only_for`."""
    important: bool = False
    """Whether the page says so when this point was not checked."""
    usually: Affects = Affects.FUNCTION
    """What a result of `attention` affects, unless the record claims less with a reason. Safety holds the page."""
    defect_decides: bool = False
    """Whether a defect that the check names decides by what it affects, in place of `usually`."""
    note_decides: bool = False
    """Whether a note in which nothing sounds dangerous makes it a matter of function, in place of `usually`."""
    parts: tuple[str, ...] = ()
    """Part names, in any language, that relate a defect to this point."""

    def applies_to(self, traits: Collection[str]) -> bool:
        """Return whether a vehicle with these traits (its fuel, drive and body) has this point."""
        suits = not self.only_for or not set(traits).isdisjoint(self.only_for)
        return suits and set(traits).isdisjoint(self.not_for)


class DefectKind(Record):
    """A kind of defect that records may use."""

    usually: Affects
    """What this kind usually affects. The record may say otherwise."""
    also: tuple[str, ...] = ()
    """Synonyms that people write for this kind. One synonym may belong to several kinds."""


class CheckPoints(RootModel[dict[str, CheckPoint]]):
    """Contents of `check_points.yaml`: check points by key."""


class DefectKinds(RootModel[dict[str, DefectKind]]):
    """Contents of `defect_kinds.yaml`: kinds of defect by key."""


class ServiceKeys(Record):
    """Contents of `services.yaml`: keys of services."""

    scheduled: tuple[str, ...]
    """Services that fall due by distance or time. Records and price lists may name them."""
    by_looking: tuple[str, ...]
    """Services without an interval, judged by looking. Records and price lists may name them."""
    priced: tuple[str, ...]
    """Services and parts that only price lists name."""
    worn: tuple[str, ...]
    """Lines of the outlook that are judged by what was measured."""
    not_for: dict[Fuel, tuple[str, ...]]
    """For each fuel, the services that its vehicles do not have."""


class WalkLists(Sourced):
    """Contents of `walk_lists.yaml`: names that the bay page offers. A record may use any other name."""

    panels: tuple[str, ...]
    """Body panels whose paint is measured, in walking order."""
    equipment: tuple[str, ...]


class Vocabulary(Record):
    """All names that records and price lists may use."""

    check_points: dict[str, CheckPoint]
    defect_kinds: dict[str, DefectKind]
    services: tuple[str, ...]
    """Services that a record may name."""
    prices: tuple[str, ...]
    """Services and parts that a price list may name."""
    outlook_lines: tuple[str, ...]
    """Lines of the outlook for which a record may state a quote."""
    services_not_for: dict[Fuel, tuple[str, ...]]
    walk_lists: WalkLists

    @cached_property
    def words_of_points(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Pairs of a check point's key and its part names, for each check point that has part names."""
        return tuple((key, point.parts) for key, point in self.check_points.items() if point.parts)

    def points_named(self, part: LocalizedText) -> frozenset[str]:
        """Return the check points that a part's name refers to: those with the longest of their words in it.

        A "driver's seat belt" refers to the seat belts and not to the seats.
        """
        return _points_in(" ".join(part.versions.values()).casefold(), self.words_of_points)


class PlausibleFigures(Record):
    """Contents of `plausible.yaml`: ranges outside which a reading gets a warning."""

    tread: PlausibleRange[Depth]
    lining: PlausibleRange[Depth]
    rotor: PlausibleRange[Depth]
    pressure: PlausibleRange[Pressure]
    rest_voltage: PlausibleRange[Voltage]
    paint: PlausibleRange[FilmThickness]
    distance_a_year: PlausibleRange[Distance]
    """Average distance per year over the vehicle's life, counted from January 1 of its model year."""


@lru_cache(maxsize=1 << 16)
def _points_in(part: str, words_of_points: tuple[tuple[str, tuple[str, ...]], ...]) -> frozenset[str]:
    named = {key: _longest_in(part, words) for key, words in words_of_points}
    longest = max(named.values(), default=0)
    return frozenset(key for key, length in named.items() if length == longest > 0)


def _longest_in(part: str, words: tuple[str, ...]) -> int:
    """Return the length of the longest of these words in a part's name, or 0."""
    return max((len(word) for word in words if _as_a_word(word).search(part)), default=0)


@cache
def _as_a_word(word: str) -> re.Pattern[str]:
    return re.compile(rf"\b{re.escape(word)}s?\b")
