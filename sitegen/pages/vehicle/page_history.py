"""What changed on a vehicle's page: what its record tells, and what follows from earlier publications."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sitegen.pages.kept.difference_text import difference_text
from sitegen.pages.kept.versions import Version
from sitegen.pages.language.translator import Text, Translator
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import PublishedChange, PublishedKind, VehicleRecord


@dataclass(frozen=True)
class EventView:
    """Something that changed on the page."""

    on: date
    when: str
    corrected: str | None
    """That it corrects what was published by mistake, in words; None if it does not."""
    what: Text


def history(record: VehicleRecord, versions: Sequence[Version], translator: Translator) -> tuple[EventView, ...]:
    """Return what changed on the page, latest first: what its record tells, and how each version differs from the one
    before."""
    day, corrected = translator.formats.day, translator.say("history.corrected")
    events = [
        EventView(event.on, day(event.on), corrected if event.about else None, translator.text(event.what))
        for event in record.history
    ]
    events += [
        EventView(version.on, day(version.on), None, difference_text(difference, translator))
        for version in versions
        for difference in version.came or ()
        if difference.about != "history"  # which stands there by itself
        and not (difference.about == "price" and record.status is Status.SOLD)  # what is sold has no price
    ]
    return tuple(sorted(events, key=lambda event: event.on, reverse=True))


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
