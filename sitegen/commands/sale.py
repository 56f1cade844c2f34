"""`sitegen price` and `sitegen status`: change a vehicle's price or status without opening its file."""

from __future__ import annotations

import argparse
import re
from collections.abc import Mapping
from datetime import date

from sitegen.commands.shared.clock import UsageError, moment_of_build
from sitegen.commands.shared.store_day import today_of_store
from sitegen.commands.shared.terminal import Terminal, exit_code
from sitegen.intake.arrival import ArrivalError, as_fixed_word
from sitegen.intake.arrival_table import TableError, rows_of
from sitegen.intake.editing import amend
from sitegen.reading.checks.dates import dated_after
from sitegen.reading.validation.did_you_mean import did_you_mean, listed
from sitegen.reading.vehicle_files import INSPECTION, read_current
from sitegen.reading.yaml.marks import Marks
from sitegen.records.problems import Problem, ProblemsError
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

_PRICE = re.compile(r"[$€£]?\d[\d.,]*( ?€)?")


def price(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write prices into the records of vehicles. Pages and feeds show the change after the next build."""
    changes = _changes(arguments, "price", "12,900")
    unfit = [(stock, value) for stock, value in changes if not _PRICE.fullmatch(value)]
    wrong = [f"{stock}: expected a price such as 12,900, found {value!r}" for stock, value in unfit]
    if wrong:
        raise UsageError("; ".join(wrong))
    codes = [
        _amend(arguments, stock, {"price": value}, f"the price is {value}", terminal) for stock, value in changes
    ]
    return max(codes)


def status(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write statuses into the records of vehicles.

    `sold` also writes the day of sale; any other status removes it.
    """
    changes = [(stock, as_fixed_word(value, Status)) for stock, value in _changes(arguments, "status", '"for sale"')]
    wrong = [_wrong_status(stock, value) for stock, value in changes if value not in list(Status)]
    if wrong:
        raise UsageError("; ".join(wrong))
    if arguments.on is not None and Status.SOLD.value not in [value for _, value in changes]:
        raise UsageError("--on is the day of the sale: use it with sold")
    return max(_set_status(arguments, stock, value, terminal) for stock, value in changes)


def _wrong_status(stock: str, value: str) -> str:
    mend = did_you_mean(value, list(Status), "write one of these")
    return f"{stock}: expected {listed(Status)}, found {value!r}; {mend}"


def _changes(arguments: argparse.Namespace, column: str, example: str) -> list[tuple[str, str]]:
    """Return pairs of a stock number and a value, as given on the command line or in a table. Raises UsageError."""
    if arguments.table is not None:
        if arguments.pairs:
            raise UsageError("give either pairs or a table (--from FILE.csv), not both")
        try:
            return rows_of(arguments.table, ("stock", column))
        except TableError as fault:
            raise ProblemsError(*fault.problems) from None
    words = arguments.pairs
    if not words or len(words) % 2:
        raise UsageError(f"give pairs of a stock number and a {column}: K102 {example} K103 {example}")
    return list(zip(words[::2], words[1::2], strict=True))


def _set_status(arguments: argparse.Namespace, stock: str, value: str, terminal: Terminal) -> int:
    sold_on = None
    if value == Status.SOLD.value:
        shown_as = f"vehicles/{stock}/{INSPECTION}"
        today = today_of_store(arguments.store, moment_of_build())
        record, marks = read_current((arguments.store / shown_as).parent, shown_as, today)
        # Keep the day of sale in the record, unless --on gives another.
        day = arguments.on or (record and record.sold_on) or today
        if day > today:
            raise UsageError(f"--on {day} is yet to come: at the store it is {today}")
        if problems := _dated_after(record, marks, day):
            terminal.tell(problems)
            terminal.say_wrong(f"{stock}: nothing was changed")
            return 1
        sold_on = str(day)
    outcome = f"it is {value}{f' since {sold_on}' if sold_on else ''}"
    return _amend(arguments, stock, {"sold_on": sold_on, "status": value}, outcome, terminal)


def _dated_after(record: VehicleRecord | None, marks: Marks, sale: date) -> list[Problem]:
    """Return a problem for each value of the record that is dated after a sale that is about to be entered."""
    expected = f"a day up to {sale}, the day of the sale (--on)"
    mend = "give another day with --on, or check the day in this line"
    paths = dated_after(record, sale) if record is not None else ()
    return [marks.problem(path, expected, mend) for path in paths]


def _amend(
    arguments: argparse.Namespace, stock: str, changes: Mapping[str, str | None], outcome: str, terminal: Terminal
) -> int:
    moment = moment_of_build()
    today = today_of_store(arguments.store, moment)
    try:
        problems = amend(arguments.store, stock, changes, moment, today)
    except ArrivalError as fault:
        terminal.say_wrong(str(fault))
        return 1
    terminal.tell(problems)
    if exit_code(problems):
        terminal.say_wrong(f"{stock}: nothing was changed")
        return 1
    terminal.say(f"{stock}: {outcome}. Next: sitegen build {arguments.store}")
    return 0
