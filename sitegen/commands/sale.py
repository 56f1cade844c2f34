"""`sitegen price` and `sitegen status`: what changes from day to day, without opening a file."""

from __future__ import annotations

import argparse
import re
from collections.abc import Mapping

from sitegen.commands.shared.clock import UsageError, day_at_store, latest_day_anywhere, moment_of_build
from sitegen.commands.shared.terminal import Terminal, exit_code
from sitegen.intake.amending import amend
from sitegen.intake.arrival import ArrivalError
from sitegen.reading.validation.record_files import read_record
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status

_PRICE = re.compile(r"[$€£]?\d[\d.,]*( ?€)?")


def price(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Put a price into a vehicle's record; the page and the feed tell of the change with the next build."""
    if not _PRICE.fullmatch(arguments.price):
        raise UsageError(f"expected a price such as 12,900, found {arguments.price!r}")
    return _amend(arguments, {"price": arguments.price}, f"the price is {arguments.price}", terminal)


def status(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Put a status into a vehicle's record, and for a sold one the day."""
    sold = arguments.status == Status.SOLD.value
    if arguments.on is not None and not sold:
        raise UsageError("--on is the day on which it was sold: say it with sold")
    day = None
    if sold:
        settings, _, _ = read_record(SiteSettings, arguments.store / "site.yaml", "site.yaml")
        zone = settings.time_zone if settings else "UTC"
        day = (arguments.on or day_at_store(moment_of_build(), zone)).isoformat()
    told = f"it is {arguments.status}{f' since {day}' if day else ''}"
    return _amend(arguments, {"sold_on": day, "status": arguments.status}, told, terminal)


def _amend(arguments: argparse.Namespace, changes: Mapping[str, str | None], told: str, terminal: Terminal) -> int:
    try:
        problems = amend(arguments.store, arguments.stock, changes, latest_day_anywhere(moment_of_build()))
    except ArrivalError as fault:
        terminal.say_wrong(str(fault))
        return 1
    terminal.tell(problems)
    if exit_code(problems):
        terminal.say_wrong("nothing was changed")
        return 1
    terminal.say(f"{arguments.stock}: {told}. Next: sitegen build {arguments.store}")
    return 0
