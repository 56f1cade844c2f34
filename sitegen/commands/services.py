"""`sitegen services`: put a supplier's table of prices into the store's price list."""

from __future__ import annotations

import argparse

from sitegen.commands.shared.terminal import Terminal, exit_code
from sitegen.intake.arrival import ArrivalError
from sitegen.intake.price_list import import_prices


def services(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Put every price of a table into services.yaml, or none if any cell is wrong."""
    try:
        count, problems = import_prices(arguments.store, arguments.table)
    except ArrivalError as fault:
        terminal.say_wrong(str(fault))
        return 1
    terminal.tell(problems)
    if exit_code(problems):
        terminal.say_wrong("nothing was changed")
        return 1
    terminal.say(f"services.yaml: {count} prices from {arguments.table.name}. Next: sitegen check {arguments.store}")
    return 0
