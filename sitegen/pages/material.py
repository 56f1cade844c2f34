"""The inputs of the pages besides the store: findings, pictures, published facts, versions and renamed vehicles."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from copy import copy
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256

from sitegen.condition.basis.findings import Condition
from sitegen.memory import BuildMemory
from sitegen.pages.kept.versions import Version, name_of_now
from sitegen.pages.vehicle.record_json import (
    LEDGER_LINE_PLACEHOLDER,
    Proof,
    canonical_record,
    fingerprint,
    published_digests,
)
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.figures import Figures
from sitegen.records.reference import Vocabulary
from sitegen.records.store import Store, StoredVehicle
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import PublishedChange, VehicleRecord
from sitegen.shelf import Shelf


@dataclass(frozen=True)
class Material:
    """The inputs that were computed before pages are composed."""

    conditions: Mapping[str, Condition]
    """The findings about each vehicle that may be published, by stock number."""
    pictures: Pictures
    figures: Figures
    facts: Mapping[str, bytes]
    """The bytes of `record.json` of each vehicle that has a page, by stock number."""

    past: Mapping[str, tuple[PublishedChange, ...]] = field(default_factory=dict)
    """The changes that the feed derives from earlier publications of each vehicle, by stock number."""
    versions: Mapping[str, tuple[Version, ...]] = field(default_factory=dict)
    """Every published version of each vehicle's facts, by stock number. The version to publish now is the last."""
    renamed: Mapping[str, str] = field(default_factory=dict)
    """The present stock number of each vehicle that was published under a former one, by the former number."""
    ever: Collection[str] = ()
    """Every stock number that was ever published."""

    @property
    def vocabulary(self) -> Vocabulary:
        """The names that records may use: kinds of defect, check points, services and so on."""
        return self.figures.vocabulary

    @cached_property
    def proofs(self) -> Mapping[str, Proof]:
        """The fingerprint that each vehicle's pages print, by stock number."""
        return {stock: Proof(fingerprint(facts), LEDGER_LINE_PLACEHOLDER) for stock, facts in self.facts.items()}

    def version(self, stock: str) -> str:
        """Return the name of the version of a vehicle's facts that is to be published now."""
        return name_of_now(self.versions.get(stock, ()), fingerprint(self.facts[stock]))

    def published(self, store: Store) -> Iterator[VehicleRecord]:
        """Yield the record of every vehicle that has a page."""
        for vehicle in store.vehicles:
            if vehicle.record.stock in self.conditions and vehicle.record.status is not Status.PREPARING:
                yield vehicle.record


class FactsDisclosed(Mapping[str, bytes]):
    """The bytes of `record.json` of every vehicle that has a page, by stock number.

    They are computed on first access.
    """

    def __init__(
        self,
        store: Store,
        conditions: Mapping[str, Condition],
        pictures: Pictures,
        memory: BuildMemory | None = None,
    ) -> None:
        """Create the mapping. Facts that are in the `memory` are not computed again."""
        self._store, self._pictures, self._memory = store, pictures, memory
        self._vehicles = {
            vehicle.record.stock: vehicle
            for vehicle in store.vehicles
            if vehicle.record.stock in conditions and vehicle.record.status is not Status.PREPARING
        }
        self._written = Shelf()

    def __getitem__(self, stock: str) -> bytes:
        """Return the bytes of a vehicle's `record.json`. Raises KeyError if the vehicle has no page."""
        vehicle = self._vehicles[stock]
        if stock not in self._written:
            self._written.put(stock, self._remembered(vehicle))
        return self._written[stock]

    def without(self, stocks: Collection[str]) -> FactsDisclosed:
        """Return the mapping without some vehicles. Facts that were computed already are kept."""
        fewer = copy(self)
        fewer._vehicles = {stock: vehicle for stock, vehicle in self._vehicles.items() if stock not in stocks}
        return fewer

    def _remembered(self, vehicle: StoredVehicle) -> bytes:
        shown = published_digests(vehicle.record, self._pictures, vehicle.footage)
        settings, name = self._store.settings, f"{vehicle.record.stock}.facts"
        sources = sha256(
            repr((vehicle.read_from, settings.first_language, settings.currency, shown)).encode()
        ).hexdigest()
        memory = self._memory if vehicle.read_from is not None else None
        known = memory.recall(name, sources) if memory is not None else None
        if known is not None:
            return known
        written = canonical_record(vehicle.record, settings, shown)
        if memory is not None:
            memory.keep(name, sources, written)
        return written

    def __contains__(self, stock: object) -> bool:
        """Return whether a vehicle has a page, without computing its facts."""
        return stock in self._vehicles

    def __iter__(self) -> Iterator[str]:
        """Yield the stock number of every vehicle that has a page, in the store's order."""
        return iter(self._vehicles)

    def __len__(self) -> int:
        """Return the number of vehicles that have a page."""
        return len(self._vehicles)
