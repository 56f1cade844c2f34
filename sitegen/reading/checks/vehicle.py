"""The lists of checks for one record, and the checks across vehicles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.reading.checks.dates import check_dates, check_order_of_dates, check_tire_date_codes
from sitegen.reading.checks.figures import check_new_and_worn, check_plausible
from sitegen.reading.checks.mileage import check_exemption, check_use
from sitegen.reading.checks.names import check_defect_ids, check_names, check_references
from sitegen.reading.checks.odometer import check_odometer
from sitegen.reading.checks.photos import check_marks, check_photo_names, check_unused_photos
from sitegen.reading.checks.sale import check_offers, check_sale
from sitegen.reading.checks.sharing import check_sharing
from sitegen.reading.checks.sheet import Check, Sheet
from sitegen.reading.checks.vin import check_vin
from sitegen.reading.validation.did_you_mean import listed
from sitegen.reading.validation.readable_part import is_unread
from sitegen.reading.validation.texts import find_excess
from sitegen.records.problems import Problem
from sitegen.records.vehicle_record import RESERVED

CHECKS: tuple[Check, ...] = (
    check_vin,
    check_dates,
    check_order_of_dates,
    check_tire_date_codes,
    check_odometer,
    check_exemption,
    check_use,
    check_new_and_worn,
    check_plausible,
    check_names,
    check_defect_ids,
    check_offers,
    check_photo_names,
    check_marks,
    check_sale,
    check_references,
    check_unused_photos,
)
"""Each check also works on the part of a faulty record that can be read: see `Sheet.unread`."""


def check_sheet(sheet: Sheet) -> Iterator[Problem]:
    """Yield the problems within one record."""
    if sheet.record.stock != sheet.folder_name:
        expected = f"{sheet.folder_name}, as the folder is named"
        yield sheet.marks.problem(("stock",), expected, "rename the folder, or mend the stock number")
    if RESERVED.fullmatch(sheet.record.stock):
        mend = "add a letter or a digit, here and to the folder's name"
        yield sheet.marks.problem(("stock",), "a stock number that no system reserves for a device", mend)
    yield from _check_notes(sheet)
    for check in CHECKS:
        yield from check(sheet)


def _check_notes(sheet: Sheet) -> Iterator[Problem]:
    notes = sheet.record.notes
    for language, text in notes.versions.items() if notes is not None else ():
        if excess := find_excess(text):
            found, expected, _ = excess
            yield sheet.marks.problem(
                ("notes", language) if language else ("notes",), expected, "shorten it", found=found
            )


def check_across_vehicles(sheets: Sequence[Sheet]) -> Iterator[Problem]:
    """Yield errors for stock numbers and VINs that several vehicles have, and warnings for other shared data."""
    for key in ("stock", "vin"):
        by_value: dict[str, list[Sheet]] = {}
        for sheet in sheets:
            if not is_unread((key,), sheet.unread):
                by_value.setdefault(getattr(sheet.record, key), []).append(sheet)
        for value, holders in by_value.items():
            for sheet in holders if len(holders) > 1 else ():
                others = listed([other.marks.file for other in holders if other is not sheet], "and")
                found = f"{value}, which is also in {others}"
                mend = "find out which vehicle it belongs to"
                yield sheet.marks.problem((key,), "another one for each vehicle", mend, found=found)
    yield from _check_former_stocks(sheets)
    yield from check_sharing([sheet for sheet in sheets if sheet.is_whole])


def _check_former_stocks(sheets: Sequence[Sheet]) -> Iterator[Problem]:
    """Yield errors for former stock numbers that another vehicle has or had, since a redirect needs one target."""
    sheets = [sheet for sheet in sheets if not is_unread(("stock",), sheet.unread)]
    holders = {sheet.record.stock: sheet.marks.file for sheet in sheets}
    for sheet in sheets:
        for place, former in enumerate(sheet.record.formerly):
            holder = holders.setdefault(former, sheet.marks.file)
            if holder != sheet.marks.file or former == sheet.record.stock:
                found = f"{former}, which is also in {holder}"
                mend = "delete it where it is wrong: its address can lead to one vehicle only"
                yield sheet.marks.problem(("formerly", place), "a number no other vehicle has", mend, found=found)
