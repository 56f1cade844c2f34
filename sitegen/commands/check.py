"""`sitegen check`: print every problem that a build would report, and advice on photos. Nothing is published."""

from __future__ import annotations

import argparse
from zoneinfo import ZoneInfo

from sitegen.commands.shared.as_before import AsBefore, Outcome
from sitegen.commands.shared.clock import beginning_of, moment_of_build
from sitegen.commands.shared.terminal import Terminal, exit_code


def check(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print every problem in the store's files."""
    outcome = _outcome(arguments, terminal)
    if arguments.format == "json":
        return terminal.tell_machines(outcome.problems)
    wrong = terminal.tell(outcome.problems)
    if not outcome.problems:
        terminal.say(f"Nothing wrong in {arguments.store}: {outcome.vehicles} vehicles are ready.")
    return wrong


def _outcome(arguments: argparse.Namespace, terminal: Terminal) -> Outcome:
    moment = moment_of_build()
    before = AsBefore(arguments.store, "check", moment)
    if (outcome := before.recall()) is not None:
        return outcome
    # Importing these takes longer than finding that nothing has changed.
    from sitegen.commands.shared.composition import Wish, compose, opened_engine
    from sitegen.commands.shared.problem_places import placed
    from sitegen.engine.mapping import Executors
    from sitegen.engine.workers import LocalWorkers
    from sitegen.photos.photo_warnings import warnings_about

    # Leave out vehicles with errors, so that the later steps still report the problems of the other vehicles.
    wish = Wish(arguments.store, arguments.jobs, leave_out_faulty=True, moment=moment, only_problems=True)
    with LocalWorkers(arguments.jobs) as workers, opened_engine(wish, terminal) as engine:
        composed = compose(wish, terminal, workers=workers, engine=engine)
        store = composed.store
        care = tuple(placed(warnings_about(store, engine, Executors(workers)), store, workers)) if store else ()
    outcome = Outcome((*composed.problems, *care), composed.vehicles)
    if store is not None and not exit_code(outcome.problems):
        before.keep(outcome, beginning_of(composed.until, ZoneInfo(store.settings.time_zone)))
    return outcome
