"""What the pages are made from, besides the store itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition
from sitegen.photos.planning.pictures import Pictures
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
    vocabulary: Vocabulary
    figures: Figures

    def published(self, store: Store) -> Iterator[VehicleRecord]:
        """Yield the record of every vehicle that has a page."""
        for vehicle in store.vehicles:
            if vehicle.record.stock in self.conditions and vehicle.record.status is not Status.PREPARING:
                yield vehicle.record
