"""The notice on the page of a sold vehicle, with links to similar vehicles."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from sitegen.pages.frame.addresses import Address, vehicle_page
from sitegen.pages.frame.frame import Link, Surroundings
from sitegen.pages.vehicle.identity import distance_words, price_words, vehicle_name
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class SoldNotice:
    """The first lines of a sold vehicle's page."""

    words: str
    alternatives: tuple[Link, ...]


def sold_notice(
    record: VehicleRecord, near: Iterable[VehicleRecord], at: Address, around: Surroundings
) -> SoldNotice | None:
    """Return the notice with links to similar vehicles, or None if the vehicle is not sold."""
    if record.status is not Status.SOLD:
        return None
    translator = around.translator
    words = translator.say("sold.on", day=record.sold_on) if record.sold_on else translator.say("sold.some_day")
    return SoldNotice(words, tuple(_link(other, at, around) for other in near))


def is_long_sold(record: VehicleRecord, settings: SiteSettings, today: date) -> bool:
    """Return whether search engines should drop the page. Without a day of sale, the day of the inspection counts."""
    sold_on = record.sold_on or record.inspection.done_on
    return record.status is Status.SOLD and today > sold_on + timedelta(days=settings.sold_noindex_after_days)


def _link(record: VehicleRecord, at: Address, around: Surroundings) -> Link:
    translator = around.translator
    offer = (vehicle_name(record), price_words(record, translator), distance_words(record, translator))
    return Link(translator.listed_plainly(offer), at.to(vehicle_page(record.stock, around.language_folder).file))
