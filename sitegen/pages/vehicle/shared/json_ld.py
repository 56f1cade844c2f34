"""Build JSON-LD in the vocabulary of schema.org. It contains nothing that the page does not show."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

from sitegen.pages.frame.addresses import Address, vehicle_page
from sitegen.pages.frame.script_data import script_json
from sitegen.pages.language.odometer_text import UNRELIABLE_ODOMETER
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.identity import distance_words, vehicle_name
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.store import SiteSettings
from sitegen.records.trip.hours import OpeningHours
from sitegen.records.vehicle import Drive, Status
from sitegen.records.vehicle_record import VehicleRecord

_DRIVES = {
    Drive.FRONT: "FrontWheelDriveConfiguration",
    Drive.REAR: "RearWheelDriveConfiguration",
    Drive.ALL: "AllWheelDriveConfiguration",
    Drive.FOUR: "FourWheelDriveConfiguration",
}
_AVAILABILITIES = {Status.FOR_SALE: "InStock", Status.ON_HOLD: "Reserved", Status.SOLD: "SoldOut"}
# UN/CEFACT Recommendation 20: SMI is the statute mile, KMT the kilometre.
_MILE, _KILOMETRE = "SMI", "KMT"


def as_script(thing: dict[str, Any]) -> Markup:
    """Return a schema.org object as JSON-LD that is safe inside a script element."""
    return script_json(_in_vocabulary(thing))


def as_json(thing: dict[str, Any]) -> str:
    """Return a schema.org object as JSON-LD text. The vocabulary is named once, at the top."""
    return json.dumps(_in_vocabulary(thing), ensure_ascii=False, separators=(",", ":"))


def _in_vocabulary(thing: dict[str, Any]) -> dict[str, Any]:
    return {"@context": "https://schema.org", **thing}


def car(
    record: VehicleRecord,
    damages: Sequence[str],
    pictures: Pictures,
    at: Address,
    settings: SiteSettings,
    translator: Translator,
) -> dict[str, Any]:
    """Return the vehicle as a schema.org `Car` with its `Offer`, which has no price once it is sold.

    Its `@id` is the same in every language.
    """
    vehicle, reading = record.vehicle, record.odometer.reading
    is_unreliable = record.odometer.statement in UNRELIABLE_ODOMETER
    address = at.canonical(settings.base_address)
    first_address = vehicle_page(record.stock, "").canonical(settings.base_address)
    files = dict.fromkeys(photo.file for photo in record.photos)
    properties = {
        "@type": "Car",
        "@id": first_address,
        "url": address,
        "name": vehicle_name(record),
        "sku": record.stock,
        "brand": {"@type": "Brand", "name": vehicle.make},
        "model": vehicle.model,
        "vehicleModelDate": str(vehicle.year),
        "vehicleIdentificationNumber": record.vin,
        "vehicleConfiguration": vehicle.trim,
        "vehicleEngine": _engine(record, translator),
        "vehicleInteriorColor": vehicle.interior and translator.text(vehicle.interior).text,
        "bodyType": translator.choice("body", vehicle.body),
        "fuelType": translator.choice("fuel", vehicle.fuel),
        "driveWheelConfiguration": f"https://schema.org/{_DRIVES[vehicle.drive]}",
        "vehicleTransmission": vehicle.transmission and translator.choice("transmission", vehicle.transmission),
        "color": vehicle.color and translator.text(vehicle.color).text,
        "numberOfDoors": vehicle.doors,
        "vehicleSeatingCapacity": vehicle.seats,
        "itemCondition": "https://schema.org/UsedCondition",
        "mileageFromOdometer": reading
        and {
            "@type": "QuantitativeValue",
            "value": int(reading.miles if translator.formats.distance_in_miles else reading.kilometres),
            "unitCode": _MILE if translator.formats.distance_in_miles else _KILOMETRE,
            **({"description": distance_words(record, translator)} if is_unreliable else {}),
        },
        "knownVehicleDamages": " ".join(damages) or None,
        "image": [full_address(pictures.of(record.stock, file).full.name, settings) for file in files],
        "offers": _offer(record, address, settings),
    }
    return {name: value for name, value in properties.items() if value}


def item_list(
    records: Sequence[VehicleRecord], addresses: Sequence[Address], settings: SiteSettings
) -> dict[str, Any]:
    """Return a list page as a schema.org `ItemList`. Positions count from 1."""
    return {
        "@type": "ItemList",
        "itemListElement": [
            {
                "@type": "ListItem",
                "position": position,
                "name": vehicle_name(record),
                "url": at.canonical(settings.base_address),
            }
            for position, (record, at) in enumerate(zip(records, addresses, strict=True), start=1)
        ],
    }


def full_address(picture: str, settings: SiteSettings) -> str:
    """Return the full web address of a published picture."""
    return Address(f"pictures/{picture}").canonical(settings.base_address)


def _offer(record: VehicleRecord, address: str, settings: SiteSettings) -> dict[str, Any] | None:
    """Return the schema.org `Offer`, or None if the vehicle is not offered."""
    if record.status not in _AVAILABILITIES:
        return None
    price = record.price if record.status is not Status.SOLD else None
    offer = {
        "@type": "Offer",
        "url": address,
        "price": price and f"{price:f}",
        "priceCurrency": price and settings.currency,
        "availability": f"https://schema.org/{_AVAILABILITIES[record.status]}",
        "itemCondition": "https://schema.org/UsedCondition",
        "seller": _dealer(settings),
    }
    return {name: value for name, value in offer.items() if value}


def dealer(settings: SiteSettings) -> dict[str, Any]:
    """Return the store as a schema.org `AutoDealer` with its opening hours and its places."""
    places = [
        _dealer(settings.at(place.name)) | _hours(place.hours or settings.hours) for place in settings.locations
    ]
    thing = {
        **_dealer(settings),
        "email": settings.email,
        **_hours(settings.hours),
        "currenciesAccepted": settings.currency,
        "department": places,
    }
    return {name: value for name, value in thing.items() if value}


def _dealer(settings: SiteSettings) -> dict[str, Any]:
    return {
        "@type": "AutoDealer",
        "name": settings.name,
        "telephone": settings.phone,
        "address": _address(settings.address),
        "url": settings.base_address,
    }


def _address(lines: Sequence[str]) -> dict[str, Any]:
    """Return the lines of an address: the last one names the town if there are several."""
    *street, town = lines
    parts = {"streetAddress": ", ".join(street) or town, "addressLocality": town if street else None}
    return {"@type": "PostalAddress", **{name: value for name, value in parts.items() if value}}


def _hours(hours: Sequence[OpeningHours]) -> dict[str, Any]:
    """Return the opening hours as schema.org specifications, one for each period. Closed days have none."""
    listed = [
        {
            "@type": "OpeningHoursSpecification",
            "dayOfWeek": [f"https://schema.org/{day.capitalize()}" for day in line.days],
            "opens": f"{period.opens:%H:%M}",
            "closes": f"{period.closes:%H:%M}",
        }
        for line in hours
        for period in line.hours.periods
    ]
    return {"openingHoursSpecification": listed} if listed else {}


def _engine(record: VehicleRecord, translator: Translator) -> dict[str, Any] | None:
    """Return the engine's name, and its displacement in liters (UN/CEFACT Recommendation 20: LTR)."""
    vehicle = record.vehicle
    if vehicle.engine is None and vehicle.liters is None:
        return None
    size = (
        {"@type": "QuantitativeValue", "value": float(vehicle.liters), "unitCode": "LTR"} if vehicle.liters else None
    )
    parts = {"name": vehicle.engine and translator.text(vehicle.engine).text, "engineDisplacement": size}
    return {"@type": "EngineSpecification", **{name: value for name, value in parts.items() if value}}
