"""Asking the store: call, text or write, with the stock number and the defect already in the message."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Link, dialled
from sitegen.pages.language.translator import Figure, Translator
from sitegen.pages.vehicle.defects.defects import DefectView
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Ways:
    """The ways to ask about one thing, and the address that a copied link carries."""

    about: str
    links: tuple[Link, ...]
    address: str


def ask_about_vehicle(record: VehicleRecord, at: Address, settings: SiteSettings, translator: Translator) -> Ways:
    """Return the ways to ask about the vehicle as a whole."""
    vehicle = vehicle_name(record)
    address = at.canonical(settings.base_address)
    message = translator.say("ask.message", vehicle=vehicle, stock=record.stock, address=address)
    return _ways(
        vehicle,
        translator.say("ask.subject", vehicle=vehicle, stock=record.stock),
        message,
        address,
        settings,
        translator,
    )


def ask_about_defect(
    defect: DefectView, record: VehicleRecord, at: Address, settings: SiteSettings, translator: Translator
) -> Ways:
    """Return the ways to ask about one defect, by its number, its kind and its own address."""
    vehicle = vehicle_name(record)
    address = f"{at.canonical(settings.base_address)}#{defect.anchor}"
    about: dict[str, Figure] = {"number": defect.number, "kind": defect.kind.lower(), "part": defect.part.text}
    message = translator.say("ask.defect_message", vehicle=vehicle, stock=record.stock, address=address, **about)
    subject = translator.say("ask.defect_subject", vehicle=vehicle, stock=record.stock, **about)
    return _ways(translator.say("ask.defect", number=defect.number), subject, message, address, settings, translator)


def _ways(
    about: str, subject: str, message: str, address: str, settings: SiteSettings, translator: Translator
) -> Ways:
    """Write the links: RFC 3966 (tel), RFC 5724 (sms, body), RFC 6068 (mailto: a space is %20, never +)."""
    links = [Link(translator.say("ask.call"), f"tel:{dialled(settings.phone)}")]
    if settings.text_messages:
        links.append(
            Link(translator.say("ask.text"), f"sms:{dialled(settings.text_messages)}?body={_escaped(message)}")
        )
    if settings.email:
        fields = f"subject={_escaped(subject)}&body={_escaped(message)}"
        links.append(Link(translator.say("ask.email"), f"mailto:{settings.email}?{fields}"))
    return Ways(about, tuple(links), address)


def _escaped(text: str) -> str:
    return quote(text.replace("\n", "\r\n"), safe="")
