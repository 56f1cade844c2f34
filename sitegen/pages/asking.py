"""Asking the store: call, text or write, with the stock number and the defect already in the message."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from sitegen.pages.addresses import Address
from sitegen.pages.defects import DefectView
from sitegen.pages.frames import Link, dialled
from sitegen.pages.identity import vehicle_name
from sitegen.pages.voice import Figure, Voice
from sitegen.records.inspection import VehicleRecord
from sitegen.records.store import SiteSettings


@dataclass(frozen=True)
class Ways:
    """The ways to ask about one thing, and the address that a copied link carries."""

    about: str
    links: tuple[Link, ...]
    address: str


def ask_about_vehicle(record: VehicleRecord, at: Address, settings: SiteSettings, voice: Voice) -> Ways:
    """Return the ways to ask about the vehicle as a whole."""
    vehicle = vehicle_name(record)
    address = at.canonical(settings.base_address)
    message = voice.say("ask.message", vehicle=vehicle, stock=record.stock, address=address)
    return _ways(
        vehicle, voice.say("ask.subject", vehicle=vehicle, stock=record.stock), message, address, settings, voice
    )


def ask_about_defect(
    defect: DefectView, record: VehicleRecord, at: Address, settings: SiteSettings, voice: Voice
) -> Ways:
    """Return the ways to ask about one defect, by its number, its kind and its own address."""
    vehicle = vehicle_name(record)
    address = f"{at.canonical(settings.base_address)}#{defect.anchor}"
    about: dict[str, Figure] = {"number": defect.number, "kind": defect.kind.lower(), "part": defect.part.text}
    message = voice.say("ask.defect_message", vehicle=vehicle, stock=record.stock, address=address, **about)
    subject = voice.say("ask.defect_subject", vehicle=vehicle, stock=record.stock, **about)
    return _ways(voice.say("ask.defect", number=defect.number), subject, message, address, settings, voice)


def _ways(about: str, subject: str, message: str, address: str, settings: SiteSettings, voice: Voice) -> Ways:
    """Write the links: RFC 3966 (tel), RFC 5724 (sms, body), RFC 6068 (mailto: a space is %20, never +)."""
    links = [Link(voice.say("ask.call"), f"tel:{dialled(settings.phone)}")]
    if settings.text_messages:
        links.append(Link(voice.say("ask.text"), f"sms:{dialled(settings.text_messages)}?body={_escaped(message)}"))
    if settings.email:
        fields = f"subject={_escaped(subject)}&body={_escaped(message)}"
        links.append(Link(voice.say("ask.email"), f"mailto:{settings.email}?{fields}"))
    return Ways(about, tuple(links), address)


def _escaped(text: str) -> str:
    return quote(text.replace("\n", "\r\n"), safe="")
