"""What the vehicle is and how it is sold, in words."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.pages.voice import Told, Voice
from sitegen.records.inspection import VehicleRecord
from sitegen.records.vehicle import PlainTerms, Status


@dataclass(frozen=True)
class Fact:
    """One line of facts: what it is about, and what it is."""

    name: str | Told
    value: Told


@dataclass(frozen=True)
class Identity:
    """The head of a condition page."""

    name: str
    kind: str
    stock: str
    status: str | None
    price: str
    distance: str
    terms: str
    terms_words: Told | None
    facts: tuple[Fact, ...]


def vehicle_name(record: VehicleRecord) -> str:
    """Return year, make and model."""
    vehicle = record.vehicle
    return " ".join(str(part) for part in (vehicle.year, vehicle.make, vehicle.model, vehicle.trim) if part)


def identity(record: VehicleRecord, voice: Voice) -> Identity:
    """Return the head of the page."""
    vehicle = record.vehicle
    kind = [
        voice.choice("body", vehicle.body),
        voice.choice("drive", vehicle.drive),
        voice.choice("fuel", vehicle.fuel),
    ]
    return Identity(
        name=vehicle_name(record),
        kind=voice.listed_plainly(kind),
        stock=voice.say("identity.stock", stock=record.stock),
        status=None if record.status is Status.FOR_SALE else voice.choice("status", record.status),
        price=price_words(record, voice),
        distance=distance_words(record, voice),
        terms=voice.choice("terms", record.sale_terms if isinstance(record.sale_terms, PlainTerms) else "warranty"),
        terms_words=None if isinstance(record.sale_terms, PlainTerms) else voice.text(record.sale_terms.warranty),
        facts=tuple(_facts(record, voice)),
    )


def price_words(record: VehicleRecord, voice: Voice) -> str:
    """Return the price, or why there is none."""
    if record.status is Status.SOLD:
        return voice.choice("status", Status.SOLD)
    return voice.formats.money(record.price) if record.price is not None else voice.say("identity.no_price")


def distance_words(record: VehicleRecord, voice: Voice) -> str:
    """Return the odometer reading, or that there is none."""
    reading = record.odometer.reading
    return voice.formats.distance(reading) if reading is not None else voice.say("identity.no_odometer")


def _facts(record: VehicleRecord, voice: Voice) -> list[Fact]:
    """List what is known of the vehicle; what the record leaves out is left out here."""
    vehicle = record.vehicle
    chosen = {
        "transmission": vehicle.transmission and voice.choice("transmission", vehicle.transmission),
        "doors": vehicle.doors and str(vehicle.doors),
        "seats": vehicle.seats and str(vehicle.seats),
    }
    written = {"engine": vehicle.engine, "color": vehicle.color, "interior": vehicle.interior}
    facts = {name: Told(value, None) for name, value in chosen.items() if value}
    facts |= {name: voice.text(value) for name, value in written.items() if value}
    facts["vin"] = Told(record.vin, None)
    order = ("engine", "transmission", "color", "interior", "doors", "seats", "vin")
    return [Fact(voice.say(f"identity.{name}"), facts[name]) for name in order if name in facts]
