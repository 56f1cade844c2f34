"""`sitegen price` and `sitegen status`: change a vehicle's price or status without opening its file."""

from __future__ import annotations

import argparse
import re
from collections.abc import Mapping
from datetime import date

from sitegen.commands.shared.clock import UsageError, moment_of_build
from sitegen.commands.shared.store_day import today_of_store
from sitegen.commands.shared.terminal import Terminal, exit_code
from sitegen.intake.arrival import ArrivalError
from sitegen.intake.editing import amend
from sitegen.reading.checks.dates import dated_after
from sitegen.reading.validation.record_files import Reading, read_file
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.problems import Problem
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

_PRICE = re.compile(r"[$€£]?\d[\d.,]*( ?€)?")


def price(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write a price into a vehicle's record. The page and the feed show the change after the next build."""
    if not _PRICE.fullmatch(arguments.price):
        raise UsageError(f"expected a price such as 12,900, found {arguments.price!r}")
    return _amend(arguments, {"price": arguments.price}, f"the price is {arguments.price}", terminal)


def status(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write a status into a vehicle's record. For a sold vehicle, write the day of the sale too."""
    sold = arguments.status == Status.SOLD.value
    if arguments.on is not None and not sold:
        raise UsageError("--on is the day of the sale: use it with sold")
    sold_on = None
    if sold:
        shown_as = f"vehicles/{arguments.stock}/{INSPECTION}"
        reading = read_file(VehicleRecord, arguments.store / shown_as, shown_as)
        today = today_of_store(arguments.store, moment_of_build())
        # Keep the day of sale in the record, unless --on gives another.
        day = arguments.on or (reading.sound_part and reading.sound_part.sold_on) or today
        if day > today:
            raise UsageError(f"--on {day} is yet to come: at the store it is {today}")
        if problems := _dated_after(reading, day):
            terminal.tell(problems)
            terminal.say_wrong("nothing was changed")
            return 1
        sold_on = str(day)
    outcome = f"it is {arguments.status}{f' since {sold_on}' if sold_on else ''}"
    return _amend(arguments, {"sold_on": sold_on, "status": arguments.status}, outcome, terminal)


def _dated_after(reading: Reading[VehicleRecord], sale: date) -> list[Problem]:
    """Return a problem for each value of the record that is dated after a sale that is about to be entered."""
    expected = f"a day up to {sale}, the day of the sale (--on)"
    mend = "give another day with --on, or check the day in this line"
    paths = dated_after(reading.sound_part, sale) if reading.sound_part is not None else ()
    return [reading.marks.problem(path, expected, mend) for path in paths]


def _amend(arguments: argparse.Namespace, changes: Mapping[str, str | None], outcome: str, terminal: Terminal) -> int:
    today = today_of_store(arguments.store, moment_of_build())
    try:
        problems = amend(arguments.store, arguments.stock, changes, today)
    except ArrivalError as fault:
        terminal.say_wrong(str(fault))
        return 1
    terminal.tell(problems)
    if exit_code(problems):
        terminal.say_wrong("nothing was changed")
        return 1
    terminal.say(f"{arguments.stock}: {outcome}. Next: sitegen build {arguments.store}")
    return 0
