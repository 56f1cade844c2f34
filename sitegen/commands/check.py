"""`sitegen check`: all that a build does, photos included, but nothing is published."""

from __future__ import annotations

import argparse

from sitegen.commands.composition import compose
from sitegen.commands.terminal import Terminal


def check(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Tell every problem in the store's files."""
    composed = compose(arguments.store, arguments.jobs, terminal)
    if arguments.format == "json":
        return terminal.tell_machines(composed.problems)
    wrong = terminal.tell(composed.problems)
    if not composed.problems:
        terminal.say(f"Nothing wrong in {arguments.store}: {composed.vehicles} vehicles are ready.")
    return wrong
