"""Checks of dates: not in the future, not before the vehicle was built, in a possible order, and not too old."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from functools import cache
from typing import Any, TypeVar

from pydantic import BaseModel

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.base import PartialDate, is_record_type
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wheels.tires import Tire

Item = TypeVar("Item")

_LAST_WEEK = 53


def check_dates(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each date after today, or before the calendar year that precedes the model year.

    Only `listed_on` of a vehicle in preparation may be in the future.
    """
    first_day = date(sheet.record.vehicle.year - 1, 1, 1)
    for path, earliest, latest in _dates_in(sheet.record, ()):
        may_be_ahead = path == ("listed_on",) and sheet.record.status is Status.PREPARING
        if earliest > sheet.standards.today and not may_be_ahead:
            expected = f"a day up to today, {sheet.standards.today.isoformat()}"
            yield sheet.marks.problem(path, expected, "check the year, the month and the day")
        elif latest < first_day:
            expected = f"a day since {first_day.isoformat()}, for the model year is {sheet.record.vehicle.year}"
            yield sheet.marks.problem(path, expected, "check the date and the model year")


def check_order_of_dates(sheet: Sheet) -> Iterator[Problem]:
    """Yield errors for events dated after the sale, and for earlier readings dated after the odometer reading."""
    record = sheet.record
    for path, reading in _numbered("earlier_readings", record.earlier_readings):
        if reading.read_on > record.odometer.read_on:
            expected = f"a day up to {record.odometer.read_on.isoformat()}, the day of the last odometer reading"
            yield sheet.marks.problem((*path, "read_on"), expected, "check both days")
    for path in dated_after(record, record.sold_on) if record.sold_on is not None else ():
        expected = f"a day up to {record.sold_on}, when the vehicle was sold"
        yield sheet.marks.problem(path, expected, "check both days")


def dated_after(record: VehicleRecord, sale: date) -> Iterator[KeyPath]:
    """Yield the path of each date that must precede a sale but is later than `sale`."""
    before_sale: list[tuple[KeyPath, date | None]] = [
        (("listed_on",), record.listed_on),
        (("odometer", "read_on"), record.odometer.read_on),
        (("inspection", "done_on"), record.inspection.done_on),
        *(((*path, "on"), work.on) for path, work in _numbered("work_done", record.work_done)),
    ]
    yield from (path for path, day in before_sale if day is not None and day > sale)


def check_age_of_inspections(settings: SiteSettings, sheets: Iterable[Sheet]) -> Iterator[Problem]:
    """Yield a warning for each vehicle on offer whose inspection is older than the store's `stale_after_days`."""
    for sheet in sheets:
        last_day = sheet.record.inspection.done_on + timedelta(days=settings.stale_after_days)
        if sheet.record.status in (Status.FOR_SALE, Status.ON_HOLD) and sheet.standards.today > last_day:
            expected = f"an inspection of the last {settings.stale_after_days} days (stale_after_days of site.yaml)"
            mend = "look again, and write what changed and the new day; or mark it as sold"
            path: KeyPath = ("inspection", "done_on")
            yield sheet.marks.problem(path, expected, mend, severity=Severity.WARNING)


def check_tire_date_codes(sheet: Sheet) -> Iterator[Problem]:
    """Yield errors for tire date codes with an impossible or future week, or a week after fitting (49 CFR 574.5)."""
    for wheel in type(sheet.record.tires).model_fields:
        tire = getattr(sheet.record.tires, wheel)
        if isinstance(tire, Tire) and tire.date_code is not None and tire.date_code.isdigit():
            yield from _check_date_code(sheet, wheel, tire, tire.date_code)


def _check_date_code(sheet: Sheet, wheel: str, tire: Tire, code: str) -> Iterator[Problem]:
    path: KeyPath = ("tires", wheel, "date_code")
    week = int(code[:2])
    mend = "read the code again: first the week, then the year"
    if not 1 <= week <= _LAST_WEEK:
        yield sheet.marks.problem(path, f"a week from 01 to {_LAST_WEEK} in the first two digits", mend)
        return
    if len(code) == 3:
        return  # Three digits: made before 2000, in an unknown decade.
    year = 1999 if code[2:] == "99" else 2000 + int(code[2:])
    made = date.fromisocalendar(year, 1, 1) + timedelta(weeks=week - 1)
    if made > sheet.standards.today:
        expected = f"a week that has begun by today, {sheet.standards.today.isoformat()}"
        yield sheet.marks.problem(path, expected, mend)
    elif tire.fitted_on is not None and made > tire.fitted_on.latest:
        expected = f"a week before the tire was fitted ({tire.fitted_on.written})"
        yield sheet.marks.problem(path, expected, "check the code and the day of fitting")


def _dates_in(record: BaseModel, path: KeyPath) -> Iterator[tuple[KeyPath, date, date]]:
    """Yield every date in a record: its path, and the earliest and latest day that it can mean."""
    values = vars(record)
    for name in type(record).model_fields:
        kind: Any = type(values[name])
        if _may_hold_dates(kind):
            yield from _dates_of(values[name], (*path, name))


def _dates_of(value: Any, path: KeyPath) -> Iterator[tuple[KeyPath, date, date]]:
    kind: Any = type(value)
    if kind is PartialDate:
        yield path, value.earliest, value.latest
    elif kind is date:
        yield path, value, value
    elif is_record_type(kind):
        yield from _dates_in(value, path)
    elif kind is tuple:
        for place, item in enumerate(value):
            yield from _dates_of(item, (*path, place))


@cache
def _may_hold_dates(kind: type) -> bool:
    return kind in (PartialDate, date, tuple) or is_record_type(kind)


def _numbered(key: str, items: tuple[Item, ...]) -> Iterator[tuple[KeyPath, Item]]:
    for place, item in enumerate(items):
        yield (key, place), item
