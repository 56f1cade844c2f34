"""Contact links to call, text or email the store, with the stock number and the subject already in the message."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from urllib.parse import quote

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Link, dialled
from sitegen.pages.language.translator import Figure, Translator
from sitegen.pages.vehicle.defects.defects import DefectView
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.pages.vehicle.measured.batteries_fluids_paint import Panel
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet
from sitegen.pages.vehicle.outlook import OutlookView
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class Ways:
    """The contact links about one subject, and the address to copy."""

    about: str
    links: tuple[Link, ...]
    address: str


def ask_about_vehicle(record: VehicleRecord, at: Address, settings: SiteSettings, translator: Translator) -> Ways:
    """Return the contact links about the vehicle as a whole."""
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
    """Return the contact links about one defect. The message names its number, kind, part and address."""
    vehicle = vehicle_name(record)
    address = f"{at.canonical(settings.base_address)}#{defect.anchor}"
    about: dict[str, Figure] = {"number": defect.number, "kind": defect.kind.lower(), "part": defect.part.text}
    message = translator.say("ask.defect_message", vehicle=vehicle, stock=record.stock, address=address, **about)
    subject = translator.say("ask.defect_subject", vehicle=vehicle, stock=record.stock, **about)
    return _ways(translator.say("ask.defect", number=defect.number), subject, message, address, settings, translator)


def ask_about_figures(
    sets: Iterable[WheelSet],
    panels: Iterable[Panel],
    outlook: OutlookView,
    record: VehicleRecord,
    at: Address,
    settings: SiteSettings,
    translator: Translator,
) -> dict[str, Ways]:
    """Return the contact links about each figure and each line of the outlook, by anchor.

    A page has about forty of them. To keep it small, the link to call, which holds no message, is left out if the
    store has other ways.
    """
    vehicle, page = vehicle_name(record), at.canonical(settings.base_address)
    subject = translator.say("ask.subject", vehicle=vehicle, stock=record.stock)

    def ways(anchor: str, about: str, with_figure: str) -> Ways:
        address = f"{page}#{anchor}"
        message = translator.say(
            "ask.figure_message", vehicle=vehicle, stock=record.stock, about=with_figure, address=address
        )
        every = _ways(about, subject, message, address, settings, translator)
        return replace(every, links=every.links[1:] or every.links)

    subjects = (*_figures(sets, panels, translator), *_lines(outlook, translator))
    return {anchor: ways(anchor, about, with_figure) for anchor, about, with_figure in subjects}


def _figures(
    sets: Iterable[WheelSet], panels: Iterable[Panel], translator: Translator
) -> Iterator[tuple[str, str, str]]:
    """Yield for each figure its anchor, its subject, and the subject with the figure."""
    named = [
        (wheel.anchor, translator.say(f"ask.{wheel_set.anchor}", wheel=_inside(wheel.position)), wheel.figure)
        for wheel_set in sets
        for wheel in wheel_set.wheels
        if wheel.is_measured
    ]
    for panel in panels:
        for fact in panel.facts:
            if fact.anchor:
                name = fact.name if isinstance(fact.name, str) else fact.name.text
                about = translator.say("ask.figure", of=_inside(panel.heading), name=_inside(name))
                named.append((fact.anchor, about, fact.value.text))
    for anchor, about, figure in named:
        yield anchor, about, translator.say("ask.figure_told", about=about, figure=figure)


def _lines(outlook: OutlookView, translator: Translator) -> Iterator[tuple[str, str, str]]:
    """Yield the same three texts for each line of the outlook.

    The last has no figure, since that depends on the reader's own miles.
    """
    for group in outlook.groups:
        for line in group.lines:
            about = translator.say("ask.outlook", item=_inside(line.item))
            yield line.anchor, about, about


def _inside(words: str) -> str:
    """Return words as inside a sentence: the first letter in lower case, unless they begin with an abbreviation."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def _ways(
    about: str, subject: str, message: str, address: str, settings: SiteSettings, translator: Translator
) -> Ways:
    """Return the links: RFC 3966 (tel), RFC 5724 (sms with body), RFC 6068 (mailto: a space is %20, never +)."""
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
