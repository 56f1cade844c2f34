"""The head of a condition page: name, kind, price, odometer reading, terms of sale and other facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.pages.language.odometer_text import reading_words
from sitegen.pages.language.translator import Fact, Text, Translator
from sitegen.records.vehicle import SingleTerm, Status, WarrantyTerms, listed_terms
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Identity:
    """The head of a condition page, also used by sheets and lists."""

    name: str
    kind: str
    stock: str
    status: str | None
    price: str
    distance: str
    terms: str
    terms_words: Text | None
    facts: tuple[Fact, ...]


def vehicle_name(record: VehicleRecord) -> str:
    """Return year, make, model and trim."""
    vehicle = record.vehicle
    return " ".join(str(part) for part in (vehicle.year, vehicle.make, vehicle.model, vehicle.trim) if part)


def identity(record: VehicleRecord, translator: Translator) -> Identity:
    """Return the head of the page."""
    vehicle = record.vehicle
    kind = [
        translator.choice("body", vehicle.body),
        translator.choice("drive", vehicle.drive),
        translator.choice("fuel", vehicle.fuel),
    ]
    return Identity(
        name=vehicle_name(record),
        kind=translator.listed_plainly(kind),
        stock=translator.say("identity.stock", stock=record.stock),
        status=None if record.status is Status.FOR_SALE else translator.choice("status", record.status),
        price=price_words(record, translator),
        distance=distance_words(record, translator),
        terms=terms_words(record, translator),
        terms_words=_warranty_text(record, translator),
        facts=tuple(_facts(record, translator)),
    )


EXPLAINED_TERMS: Mapping[str, str] = {
    "as_is": "as-is",
    "implied_warranties_only": "implied-warranties",
    "warranty": "dealer-warranty",
    "warranty_full": "dealer-warranty",
    "warranty_limited": "dealer-warranty",
    "manufacturer_warranty": "other-warranty",
    "manufacturer_used_vehicle_warranty": "other-warranty",
    "other_used_vehicle_warranty": "other-warranty",
    "service_contract": "service-contract",
}
"""The explainer of each of the terms of sale."""


def terms_words(record: VehicleRecord, translator: Translator) -> str:
    """Return the names of the terms of sale, without the text of a warranty and without the last period."""
    names = [translator.say(f"terms.{key}") for key in terms_keys(record)]
    return ". ".join(names)


def terms_keys(record: VehicleRecord) -> tuple[str, ...]:
    """Return the message keys of the terms of sale, the dealer's own first."""
    return tuple(map(_terms_key, listed_terms(record.sale_terms)))


def _terms_key(term: SingleTerm) -> str:
    if not isinstance(term, WarrantyTerms):
        return term.value.replace(" ", "_")
    return f"warranty_{term.kind}" if term.kind else "warranty"


def _warranty_text(record: VehicleRecord, translator: Translator) -> Text | None:
    """Return the store's own words for what its warranty covers. None if it gives none."""
    warranties = (term for term in listed_terms(record.sale_terms) if isinstance(term, WarrantyTerms))
    return next((translator.text(term.warranty) for term in warranties), None)


def price_words(record: VehicleRecord, translator: Translator) -> str:
    """Return the price, or the reason why there is none. For a sold vehicle, return that it is sold."""
    if record.status is Status.SOLD:
        return translator.choice("status", Status.SOLD)
    return translator.formats.money(record.price) if record.price is not None else translator.say("identity.no_price")


def distance_words(record: VehicleRecord, translator: Translator) -> str:
    """Return the odometer reading, with a caveat if it is not the mileage, or that the reading is not noted."""
    reading = record.odometer.reading
    return translator.say("identity.no_odometer") if reading is None else reading_words(reading, record, translator)


def _facts(record: VehicleRecord, translator: Translator) -> list[Fact]:
    """Return the vehicle's further facts that the record has, in a fixed order."""
    vehicle = record.vehicle
    chosen = {
        "transmission": vehicle.transmission and translator.choice("transmission", vehicle.transmission),
        "doors": vehicle.doors and str(vehicle.doors),
        "seats": vehicle.seats and str(vehicle.seats),
    }
    written = {"engine": vehicle.engine, "color": vehicle.color, "interior": vehicle.interior}
    facts = {name: Text(value, None) for name, value in chosen.items() if value}
    facts |= {name: translator.text(value) for name, value in written.items() if value}
    facts["vin"] = Text(record.vin, None)
    order = ("engine", "transmission", "color", "interior", "doors", "seats", "vin")
    return [Fact(translator.say(f"identity.{name}"), facts[name]) for name in order if name in facts]
