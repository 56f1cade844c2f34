"""The inputs of the pages besides the store: findings, pictures, published facts, versions and renamed vehicles."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from sitegen.condition.basis.findings import Condition
from sitegen.pages.kept.versions import Version, name_of_now
from sitegen.pages.vehicle.record_json import LEDGER_LINE_PLACEHOLDER, Proof, fingerprint
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.figures import Figures
from sitegen.records.reference import Vocabulary
from sitegen.records.store import Store
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import PublishedChange, VehicleRecord


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
    started: date | None = None
    """The day of the first publication. None before it."""
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
