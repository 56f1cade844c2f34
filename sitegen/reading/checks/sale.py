"""Checks of the sale: keys that a status requires, and the vehicle's location."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.validation.did_you_mean import did_you_mean, listed
from sitegen.reading.validation.readable_part import HIDDEN
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status


def check_sale(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for a vehicle for sale without a price.

    Yield warnings for a sold vehicle without a day of sale, and for a day of sale on a vehicle that is not sold.
    """
    record, marks = sheet.record, sheet.marks
    if any(path[0] in ("status", "price", "sold_on", HIDDEN) for path in sheet.unread):
        return
    if record.status is Status.FOR_SALE and record.price is None:
        yield marks.problem(("status",), "a price with it", 'add "price: ..."', found="for sale, without a price")
    if record.status is Status.SOLD and record.sold_on is None:
        found, mend = "sold, without a day", 'add "sold_on: ..."'
        yield marks.problem(("status",), "the day of the sale with it", mend, found=found, severity=Severity.WARNING)
    if record.status is not Status.SOLD and record.sold_on is not None:
        expected = f"no day of sale, for the status is {record.status.value}"
        yield marks.problem(("sold_on",), expected, "write status: sold, or delete it", severity=Severity.WARNING)


def check_offers(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each quote for an unknown line of the outlook, or for a defect that is repaired anyway.

    Yield a warning for a quote for a service that does not go with the vehicle's fuel.
    """
    record, marks, vocabulary = sheet.record, sheet.marks, sheet.standards.vocabulary
    fuel = record.vehicle.fuel
    for line in record.outlook:
        path, found = ("outlook", line), f'the key "{line}"'
        if line not in vocabulary.outlook_lines:
            mend = did_you_mean(line, vocabulary.outlook_lines, "`sitegen help services` lists services")
            yield marks.problem(path, "a line of the outlook", mend, found=found, at_key=True)
        elif line in vocabulary.services_not_for.get(fuel, ()):
            expected = f"a service of a vehicle whose fuel is {fuel.value}"
            mend = "check the quote and the fuel"
            yield marks.problem(path, expected, mend, found=found, at_key=True, severity=Severity.WARNING)
    settled = {
        defect: kind
        for kind, works in (("work_done", record.work_done), ("before_delivery", record.before_delivery))
        for work in works
        for defect in work.settles
    }
    for number, defect in enumerate(record.defects):
        if defect.quote is not None and defect.id in settled:
            found = f"a quote for {defect.id}, which {settled[defect.id]} settles"
            mend = "delete the quote, for the buyer does not pay for it"
            yield marks.problem(("defects", number, "quote"), "a defect that still stands", mend, found=found)


def check_locations(settings: SiteSettings, sheets: Iterable[Sheet]) -> Iterator[Problem]:
    """Yield an error for each location that `site.yaml` does not list. Any location passes if it lists none."""
    names = [location.name for location in settings.locations]
    for sheet in sheets if names else ():
        if sheet.record.location is not None and sheet.record.location not in names:
            mend = did_you_mean(sheet.record.location, names, "add it to locations in site.yaml")
            yield sheet.marks.problem(("location",), f"a location of site.yaml ({listed(names)})", mend)
