"""What every store shares and `content/reference/` lists: check points, kinds of defect, services."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property
from typing import Generic, TypeVar

from pydantic import RootModel

from sitegen.records.base import Record
from sitegen.records.disclosure import Affects, Station
from sitegen.records.quantities import Depth, Distance, FilmThickness, Pressure, Quantity, Voltage
from sitegen.records.sourced import Sourced
from sitegen.records.vehicle import Fuel

Reading = TypeVar("Reading", bound=Quantity)


class PlausibleRange(Sourced, Generic[Reading]):
    """From the least to the most that is plausible, and who says so."""

    low: Reading
    high: Reading
    never_above: Reading | None = None
    """What is more is no reading of this at all; None where nobody can say so."""


class CheckPoint(Record):
    """A point that the walk-around looks at. Its key is what `checks:` names; its words are in the catalogs."""

    station: Station
    only_for: tuple[str, ...] = ()
    """Fuels, drives or bodies that have this point; empty means every vehicle."""
    not_for: tuple[str, ...] = ()
    """Fuels, drives or bodies that do not have it, whatever `only_for` says."""
    important: bool = False
    """A buyer should know if it was not checked."""
    safety: bool = False
    """What needs attention there holds the page back until the store says what it will do."""
    defect_decides: bool = False
    """Where the check names a defect, what that affects decides whether it concerns safety."""
    parts: tuple[str, ...] = ()
    """Words in the name of a defect's part, in any language, by which the defect speaks of this point."""

    def is_had_by(self, traits: Collection[str]) -> bool:
        """Tell whether a vehicle of these traits, its fuel, drive and body, has this point."""
        suits = not self.only_for or not set(traits).isdisjoint(self.only_for)
        return suits and set(traits).isdisjoint(self.not_for)


class DefectKind(Record):
    """A kind of defect."""

    usually: Affects
    """What it affects as a rule; the record decides."""
    also: tuple[str, ...] = ()
    """What people write in place of it; one word may stand for several kinds."""


class CheckPoints(RootModel[dict[str, CheckPoint]]):
    """What `check_points.yaml` holds."""


class DefectKinds(RootModel[dict[str, DefectKind]]):
    """What `defect_kinds.yaml` holds."""


class ServiceKeys(Record):
    """What `services.yaml` holds."""

    scheduled: tuple[str, ...]
    """What falls due by distance or time; records and price lists may name it."""
    by_looking: tuple[str, ...]
    """What has no interval and is judged by looking; records and price lists may name it."""
    priced: tuple[str, ...]
    """What only price lists name."""
    not_for: dict[Fuel, tuple[str, ...]]
    """What vehicles of a fuel do not have, and so cannot have had done."""


class WalkLists(Sourced):
    """What `walk_lists.yaml` holds: what the bay page asks for by name. A record may name anything else."""

    panels: tuple[str, ...]
    """Panels whose paint is measured, in the order of the walk."""
    equipment: tuple[str, ...]


class Vocabulary(Record):
    """The names that records may use."""

    check_points: dict[str, CheckPoint]
    defect_kinds: dict[str, DefectKind]
    services: tuple[str, ...]
    """Services that a record may name."""
    prices: tuple[str, ...]
    """Services and parts that a price list may name."""
    services_not_for: dict[Fuel, tuple[str, ...]]
    walk_lists: WalkLists

    @cached_property
    def words_of_points(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each check point that a defect can speak of, by the words of its parts."""
        return tuple((key, point.parts) for key, point in self.check_points.items() if point.parts)


class PlausibleFigures(Record):
    """What `plausible.yaml` holds: between these a reading is likely right; beyond, it is worth a look."""

    tread: PlausibleRange[Depth]
    lining: PlausibleRange[Depth]
    rotor: PlausibleRange[Depth]
    pressure: PlausibleRange[Pressure]
    rest_voltage: PlausibleRange[Voltage]
    paint: PlausibleRange[FilmThickness]
    distance_a_year: PlausibleRange[Distance]
    """Over the vehicle's life, counted from January 1 of its model year."""
