"""The inventory index: every vehicle for sale, by what was measured and disclosed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.condition.findings import Condition
from sitegen.pages.addresses import Address, vehicle_page
from sitegen.pages.disclosure import important_unchecked
from sitegen.pages.frames import Surroundings
from sitegen.pages.identity import distance_words, identity, price_words
from sitegen.pages.pictures import PictureView, Slot, picture_view
from sitegen.pages.summary import KeyFigure, lowest_tread, thinnest_lining
from sitegen.pages.voice import Told
from sitegen.photos.pictures import Pictures
from sitegen.records.inspection import VehicleRecord
from sitegen.records.reference import Catalogues
from sitegen.records.store import Store
from sitegen.records.vehicle import Status


@dataclass(frozen=True)
class VehicleCard:
    """One vehicle in the list."""

    href: str
    name: str
    kind: str
    price: str
    distance: str
    status: str | None
    picture: PictureView | None
    figures: tuple[KeyFigure, ...]
    defects: str
    unchecked: str | None


@dataclass(frozen=True)
class InventoryPage:
    """The index: vehicles to be had, then those that are sold."""

    heading: str
    introduction: Told | None
    counted: str
    cards: tuple[VehicleCard, ...]
    sold: tuple[VehicleCard, ...]


def inventory_page_view(
    conditions: Mapping[str, Condition],
    pictures: Pictures,
    catalogues: Catalogues,
    at: Address,
    around: Surroundings,
) -> InventoryPage:
    """Return the view of the index."""
    shown = for_sale(around.store, conditions)
    records = [vehicle.record for vehicle in around.store.vehicles if vehicle.record.stock in conditions]
    sold = [record for record in records if record.status is Status.SOLD]

    def cards(chosen: list[VehicleRecord]) -> tuple[VehicleCard, ...]:
        return tuple(_card(record, conditions[record.stock], pictures, catalogues, at, around) for record in chosen)

    voice, introduction = around.voice, around.settings.introduction
    return InventoryPage(
        heading=voice.say("inventory.heading"),
        introduction=voice.text(introduction) if introduction else None,
        counted=voice.count("inventory.counted", len(shown)),
        cards=cards(shown),
        sold=cards(sold),
    )


def for_sale(store: Store, conditions: Mapping[str, Condition]) -> list[VehicleRecord]:
    """Return the vehicles that can be had and may be published. Those in preparation are not among them."""
    records = [vehicle.record for vehicle in store.vehicles if vehicle.record.stock in conditions]
    return [record for record in records if record.status in (Status.FOR_SALE, Status.ON_HOLD)]


def _card(
    record: VehicleRecord,
    condition: Condition,
    pictures: Pictures,
    catalogues: Catalogues,
    at: Address,
    around: Surroundings,
) -> VehicleCard:
    voice = around.voice
    told = identity(record, voice)
    unchecked = important_unchecked(record, catalogues, voice)
    photo = record.photos[0] if record.photos else None
    return VehicleCard(
        href=at.to(vehicle_page(record.stock, around.language_folder).file),
        name=told.name,
        kind=told.kind,
        price=price_words(record, voice),
        distance=distance_words(record, voice),
        status=told.status,
        picture=picture_view(pictures, record.stock, photo, at, voice, Slot.CARD) if photo else None,
        figures=(lowest_tread(condition, voice), thinnest_lining(condition, voice)),
        defects=voice.count("inventory.defects", len(record.defects)),
        unchecked=voice.say("inventory.unchecked", points=voice.listed(unchecked)) if unchecked else None,
    )
