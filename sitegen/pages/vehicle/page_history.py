"""What changed on a vehicle's page: what its record tells, and what follows from earlier publications."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sitegen.pages.language.translator import Told, Translator
from sitegen.records.disclosure import PublishedChange, PublishedKind
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class EventView:
    """Something that changed on the page."""

    on: date
    when: str
    corrected: str | None
    """That it corrects what was published by mistake, in words; None if it does not."""
    what: Told


def history(record: VehicleRecord, past: Sequence[PublishedChange], translator: Translator) -> tuple[EventView, ...]:
    """Return what changed on the page, latest first."""
    day, corrected = translator.formats.day, translator.say("history.corrected")
    told = [
        EventView(event.on, day(event.on), corrected if event.about else None, translator.text(event.what))
        for event in record.history
    ]
    told += [
        EventView(change.on, day(change.on), None, Told(change_words(change, translator), None))
        for change in past
        if not (change.kind is PublishedKind.PRICE and record.status is Status.SOLD)  # what is sold has no price
    ]
    return tuple(sorted(told, key=lambda event: event.on, reverse=True))


def change_words(change: PublishedChange, translator: Translator) -> str:
    """Return what is told of a change by itself."""
    match change.kind:
        case PublishedKind.PRICE:
            old, new = (translator.formats.money(Decimal(price)) for price in (change.old, change.new))
            return translator.say("history.price", old=old, new=new)
        case PublishedKind.STATUS:
            return translator.say("history.status", new=translator.choice("status", change.new))
        case PublishedKind.PHOTOS:
            return translator.count("history.photos", int(change.new))
