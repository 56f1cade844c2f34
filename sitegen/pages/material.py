"""What the pages are made from, besides the store itself."""

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
    """What was judged, pictured and looked up before composing began."""

    conditions: Mapping[str, Condition]
    """Of the vehicles that may be published, by stock."""
    pictures: Pictures
    figures: Figures
    facts: Mapping[str, bytes]
    """What is disclosed of each vehicle that has a page, as the bytes of its `record.json`, by stock."""

    past: Mapping[str, tuple[PublishedChange, ...]] = field(default_factory=dict)
    """What the feed tells by itself of each vehicle's changes, by stock."""
    versions: Mapping[str, tuple[Version, ...]] = field(default_factory=dict)
    """Every version of what is disclosed of each vehicle, by stock, that which is to be published last."""
    renamed: Mapping[str, str] = field(default_factory=dict)
    """Stock numbers that were published once, and those that the same vehicles have now."""
    ever: Collection[str] = ()
    """Every stock number that was published once."""

    @property
    def vocabulary(self) -> Vocabulary:
        """Every name that a record may use."""
        return self.figures.vocabulary

    @cached_property
    def proofs(self) -> Mapping[str, Proof]:
        """What each vehicle's pages carry of what is disclosed, by stock."""
        return {stock: Proof(fingerprint(facts), LEDGER_LINE_PLACEHOLDER) for stock, facts in self.facts.items()}

    def version(self, stock: str) -> str:
        """Return the name of the version of a vehicle that is to be published."""
        return name_of_now(self.versions.get(stock, ()), fingerprint(self.facts[stock]))

    def published(self, store: Store) -> Iterator[VehicleRecord]:
        """Yield the record of every vehicle that has a page."""
        for vehicle in store.vehicles:
            if vehicle.record.stock in self.conditions and vehicle.record.status is not Status.PREPARING:
                yield vehicle.record


class FactsDisclosed(Mapping[str, bytes]):
    """The bytes of `record.json` of every vehicle that has a page, by stock: written when first asked for."""

    def __init__(
        self,
        store: Store,
        conditions: Mapping[str, Condition],
        pictures: Pictures,
        memory: BuildMemory | None = None,
    ) -> None:
        """What the `memory` knows is not written again."""
        self._store, self._pictures, self._memory = store, pictures, memory
        self._vehicles = {
            vehicle.record.stock: vehicle
            for vehicle in store.vehicles
            if vehicle.record.stock in conditions and vehicle.record.status is not Status.PREPARING
        }
        self._written = Shelf()

    def __getitem__(self, stock: str) -> bytes:
        """Return what is disclosed of a vehicle. Raises KeyError for one that has no page."""
        vehicle = self._vehicles[stock]
        if stock not in self._written:
            self._written.put(stock, self._remembered(vehicle))
        return self._written[stock]

    def without(self, stocks: Collection[str]) -> FactsDisclosed:
        """Return the same but of some vehicles; what is written already is not written again."""
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
        """Tell whether a vehicle has a page, with nothing written."""
        return stock in self._vehicles

    def __iter__(self) -> Iterator[str]:
        """Yield the stock of every vehicle that has a page, in the order of the store."""
        return iter(self._vehicles)

    def __len__(self) -> int:
        """Count the vehicles that have a page."""
        return len(self._vehicles)
