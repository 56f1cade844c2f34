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
from sitegen.reading.vehicle_files import INSPECTION, read_current
from sitegen.reading.yaml.marks import Marks
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
    """Write a status into a vehicle's record. `sold` also writes the day of sale; any other status removes it."""
    sold = arguments.status == Status.SOLD.value
    if arguments.on is not None and not sold:
        raise UsageError("--on is the day of the sale: use it with sold")
    sold_on = None
    if sold:
        shown_as = f"vehicles/{arguments.stock}/{INSPECTION}"
        today = today_of_store(arguments.store, moment_of_build())
        record, marks = read_current((arguments.store / shown_as).parent, shown_as, today)
        # Keep the day of sale in the record, unless --on gives another.
        day = arguments.on or (record and record.sold_on) or today
        if day > today:
            raise UsageError(f"--on {day} is yet to come: at the store it is {today}")
        if problems := _dated_after(record, marks, day):
            terminal.tell(problems)
            terminal.say_wrong("nothing was changed")
            return 1
        sold_on = str(day)
    outcome = f"it is {arguments.status}{f' since {sold_on}' if sold_on else ''}"
    return _amend(arguments, {"sold_on": sold_on, "status": arguments.status}, outcome, terminal)


def _dated_after(record: VehicleRecord | None, marks: Marks, sale: date) -> list[Problem]:
    """Return a problem for each value of the record that is dated after a sale that is about to be entered."""
    expected = f"a day up to {sale}, the day of the sale (--on)"
    mend = "give another day with --on, or check the day in this line"
    paths = dated_after(record, sale) if record is not None else ()
    return [marks.problem(path, expected, mend) for path in paths]


def _amend(arguments: argparse.Namespace, changes: Mapping[str, str | None], outcome: str, terminal: Terminal) -> int:
    moment = moment_of_build()
    today = today_of_store(arguments.store, moment)
    try:
        problems = amend(arguments.store, arguments.stock, changes, moment, today)
    except ArrivalError as fault:
        terminal.say_wrong(str(fault))
        return 1
    terminal.tell(problems)
    if exit_code(problems):
        terminal.say_wrong("nothing was changed")
        return 1
    terminal.say(f"{arguments.stock}: {outcome}. Next: sitegen build {arguments.store}")
    return 0
