"""What a vehicle's page says once the vehicle is sold, and which others are near it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from sitegen.pages.frame.addresses import Address, vehicle_page
from sitegen.pages.frame.frame import Link, Surroundings
from sitegen.pages.vehicle.identity import distance_words, price_words, vehicle_name
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

MOST_ALTERNATIVES = 3


@dataclass(frozen=True)
class SoldNotice:
    """What the page of a sold vehicle says first."""

    words: str
    alternatives: tuple[Link, ...]


def sold_notice(
    record: VehicleRecord, others: Iterable[VehicleRecord], at: Address, around: Surroundings
) -> SoldNotice | None:
    """Return the notice, with the nearest of the vehicles that can be had; None unless the vehicle is sold."""
    if record.status is not Status.SOLD:
        return None
    translator = around.translator
    words = translator.say("sold.on", day=record.sold_on) if record.sold_on else translator.say("sold.some_day")
    near = near_alternatives(record, others)
    return SoldNotice(words, tuple(_link(other, at, around) for other in near))


def near_alternatives(record: VehicleRecord, others: Iterable[VehicleRecord]) -> list[VehicleRecord]:
    """Return up to three: those of the same body first, then by how near price and distance are.

    Far is the sum of the two differences, each as a share of the sold vehicle's own figure; a figure that either of
    the two lacks counts as wholly different. 12,000 and 60,000 mi against 10,000 and 50,000 mi is 1/5 + 1/5.
    """

    price, distance = _figures(record)

    def far(other: VehicleRecord) -> tuple[bool, Fraction, str]:
        other_price, other_distance = _figures(other)
        differences = _difference(price, other_price) + _difference(distance, other_distance)
        return other.vehicle.body is not record.vehicle.body, differences, other.stock

    return sorted(others, key=far)[:MOST_ALTERNATIVES]


def is_long_sold(record: VehicleRecord, settings: SiteSettings, today: date) -> bool:
    """Tell whether search engines should forget the page; the inspection counts where no day of sale is known."""
    sold_on = record.sold_on or record.inspection.done_on
    return record.status is Status.SOLD and today > sold_on + timedelta(days=settings.sold_noindex_after_days)


def _figures(record: VehicleRecord) -> tuple[Fraction | None, Fraction | None]:
    """Return price and metres driven."""
    reading = record.odometer.reading
    return None if record.price is None else Fraction(record.price), None if reading is None else reading.metres


def _difference(one: Fraction | None, other: Fraction | None) -> Fraction:
    return abs(other - one) / one if one and other is not None else Fraction(1)


def _link(record: VehicleRecord, at: Address, around: Surroundings) -> Link:
    translator = around.translator
    told = (vehicle_name(record), price_words(record, translator), distance_words(record, translator))
    return Link(translator.listed_plainly(told), at.to(vehicle_page(record.stock, around.language_folder).file))
