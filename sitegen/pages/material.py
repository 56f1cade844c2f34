"""What the pages are made from, besides the store itself."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from sitegen.condition.basis.findings import Condition
from sitegen.pages.kept.versions import Version, name_of_now
from sitegen.pages.vehicle.record_json import UNWRITTEN, Proof, canonical, fingerprint, shown_of
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.disclosure import PublishedChange
from sitegen.records.figures import Figures
from sitegen.records.reference import Vocabulary
from sitegen.records.store import Store
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord


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
        return {stock: Proof(fingerprint(facts), UNWRITTEN) for stock, facts in self.facts.items()}

    def version(self, stock: str) -> str:
        """Return the name of the version of a vehicle that is to be published."""
        return name_of_now(self.versions.get(stock, ()), fingerprint(self.facts[stock]))

    def published(self, store: Store) -> Iterator[VehicleRecord]:
        """Yield the record of every vehicle that has a page."""
        for vehicle in store.vehicles:
            if vehicle.record.stock in self.conditions and vehicle.record.status is not Status.PREPARING:
                yield vehicle.record


def facts_disclosed(store: Store, conditions: Mapping[str, Condition], pictures: Pictures) -> dict[str, bytes]:
    """Return the bytes of `record.json` of every vehicle that has a page, by stock."""
    facts = {}
    for vehicle in store.vehicles:
        record = vehicle.record
        if record.stock in conditions and record.status is not Status.PREPARING:
            shown = shown_of(record, pictures, vehicle.footage)
            facts[record.stock] = canonical(record, store.settings, shown)
    return facts
