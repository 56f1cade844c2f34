"""The history of a vehicle's page: entries of its record, and differences between published versions."""

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
    """One change of a vehicle's page, with its day."""

    on: date
    when: str
    corrected: str | None
    """The word "Corrected" if the change corrects an earlier publication, else None."""
    what: Text


def history(record: VehicleRecord, versions: Sequence[Version], translator: Translator) -> tuple[EventView, ...]:
    """Return the changes of the page, latest first.

    They are the history entries of the record, and the differences of each published version to the one before.
    """
    day, corrected = translator.formats.day, translator.say("history.corrected")
    events = [
        EventView(event.on, day(event.on), corrected if event.about else None, translator.text(event.what))
        for event in record.history
    ]
    events += [
        EventView(version.on, day(version.on), None, difference_text(difference, translator))
        for version in versions
        for difference in version.came or ()
        if difference.about != "history"  # The record's own entries are in the list already.
        and not (difference.about == "price" and record.status is Status.SOLD)  # Sold vehicles show no price.
    ]
    return tuple(sorted(events, key=lambda event: event.on, reverse=True))


def change_words(change: PublishedChange, translator: Translator) -> str:
    """Return the feed's sentence about a change that follows from earlier publications."""
    match change.kind:
        case PublishedKind.PRICE:
            old, new = (translator.formats.money(Decimal(price)) for price in (change.old, change.new))
            return translator.say("history.price", old=old, new=new)
        case PublishedKind.STATUS:
            return translator.say("history.status", new=translator.choice("status", change.new))
        case PublishedKind.PHOTOS:
            return translator.count("history.photos", int(change.new))
