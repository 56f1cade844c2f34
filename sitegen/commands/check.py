"""`sitegen check`: all that a build does, but nothing is published; and a second look at the photos."""

from __future__ import annotations

import argparse

from sitegen.commands.shared.composition import Wish, compose
from sitegen.commands.shared.problem_places import placed
from sitegen.commands.shared.terminal import Terminal
from sitegen.photos.photo_warnings import warnings_about


def check(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Tell every problem in the store's files."""
    wish = Wish(arguments.store, arguments.jobs)
    composed = compose(wish, terminal)
    store = composed.store
    care = placed(warnings_about(store, wish.cache), store) if store else ()
    problems = (*composed.problems, *care)
    if arguments.format == "json":
        return terminal.tell_machines(problems)
    wrong = terminal.tell(problems)
    if not problems:
        terminal.say(f"Nothing wrong in {arguments.store}: {composed.vehicles} vehicles are ready.")
    return wrong
