"""The view of one page of a vehicle list: up to 24 cards, the pager, and the links to other lists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.condition.basis.findings import Condition
from sitegen.pages.frame.addresses import Address, vehicle_page
from sitegen.pages.frame.frame import Link, Surroundings
from sitegen.pages.inventory.card import VehicleCard, card_at
from sitegen.pages.inventory.comparison import comparison_address
from sitegen.pages.inventory.filters import FilterForm
from sitegen.pages.inventory.lists import GROUPS, VehicleList
from sitegen.pages.language.translator import Text, Translator
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.store import Store
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class BrowseGroup:
    """Links to the lists of one group (body, make or price), each with the number of its vehicles."""

    heading: str
    links: tuple[Link, ...]


@dataclass(frozen=True)
class Pager:
    """The links to the other pages of a list. `place` says which page this is."""

    place: str
    first: Link | None
    previous: Link | None
    next: Link | None
    last: Link | None


@dataclass(frozen=True)
class InventoryPage:
    """One page of a vehicle list."""

    heading: str
    title: str
    introduction: Text | None
    counted: str
    everything: Link | None
    """The link back to all vehicles; None on the list of all vehicles itself."""
    filters: FilterForm | None
    """Only on the first page of all vehicles."""
    cards: tuple[VehicleCard, ...]
    pager: Pager | None
    browse: tuple[BrowseGroup, ...]
    compare: str
    coming_soon: tuple[Link, ...]
    """Links to vehicles in preparation, if the store shows them; only on the first page of all vehicles."""


def inventory_page_view(
    shown: VehicleList,
    number: int,
    lists: Sequence[VehicleList],
    filters: FilterForm | None,
    pictures: Pictures,
    around: Surroundings,
) -> InventoryPage:
    """Return the view of page `number` of the list `shown`. The first of `lists` is the list of all vehicles."""
    translator, everything = around.translator, lists[0]
    at = shown.page_address(number, around.language_folder)
    is_all = shown is everything
    heading = (
        translator.say("inventory.heading") if is_all else translator.say("inventory.heading_of", list=shown.name)
    )
    introduction = around.settings.introduction if is_all and number == 1 else None
    return InventoryPage(
        heading=heading,
        title=heading
        if number == 1
        else translator.say("inventory.title_of_page", heading=heading, page=str(number)),
        introduction=translator.text(introduction) if introduction else None,
        counted=_counted(shown, translator),
        everything=None if is_all else _link(everything, at, around),
        filters=filters,
        cards=tuple(card_at(item, pictures, at, around) for item in shown.pages[number - 1]),
        pager=_pager(shown, number, at, around),
        browse=_browse(lists, at, around),
        compare=at.to(comparison_address(around.language_folder).file),
        coming_soon=_coming_soon(at, around) if is_all and number == 1 else (),
    )


def for_sale(store: Store, conditions: Mapping[str, Condition]) -> list[VehicleRecord]:
    """Return the records of vehicles that are for sale or on hold and may be published."""
    records = [vehicle.record for vehicle in store.vehicles if vehicle.record.stock in conditions]
    return [record for record in records if record.status in (Status.FOR_SALE, Status.ON_HOLD)]


def _coming_soon(at: Address, around: Surroundings) -> tuple[Link, ...]:
    records = [vehicle.record for vehicle in around.store.vehicles] if around.settings.show_preparing else []
    return tuple(
        Link(vehicle_name(record), at.to(vehicle_page(record.stock, around.language_folder).file))
        for record in records
        if record.status is Status.PREPARING
    )


def _link(shown: VehicleList, at: Address, around: Surroundings) -> Link:
    here = shown.page_address(1, around.language_folder)
    words = around.translator.say(
        "browse.counted", name=shown.name, count=around.translator.formats.number(len(shown.listings))
    )
    return Link(words, at.to(here.file), here == at)


def _browse(lists: Sequence[VehicleList], at: Address, around: Surroundings) -> tuple[BrowseGroup, ...]:
    by_group = {group: [some for some in lists if some.group == group] for group in GROUPS}
    return tuple(
        BrowseGroup(
            around.translator.say(f"browse.by_{group}"), tuple(_link(some, at, around) for some in by_group[group])
        )
        for group in GROUPS
        if by_group[group]
    )


def _pager(shown: VehicleList, number: int, at: Address, around: Surroundings) -> Pager | None:
    last, translator = len(shown.pages), around.translator
    if last == 1:
        return None

    def link(key: str, to: int) -> Link:
        return Link(translator.say(f"pager.{key}"), at.to(shown.page_address(to, around.language_folder).file))

    return Pager(
        place=translator.say("pager.place", page=str(number), pages=str(last)),
        first=link("first", 1) if number > 2 else None,
        previous=link("previous", number - 1) if number > 1 else None,
        next=link("next", number + 1) if number < last else None,
        last=link("last", last) if number < last - 1 else None,
    )


def _counted(shown: VehicleList, translator: Translator) -> str:
    """Return a sentence with the number of vehicles in a list, and of those with a measured tread or lining."""
    measured, total = shown.measured, len(shown.listings)
    if measured == total > 0:
        return translator.count("inventory.counted", measured)
    return translator.count("inventory.counted_measured", total, measured=translator.formats.number(measured))
