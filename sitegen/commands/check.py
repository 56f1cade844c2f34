"""`sitegen check`: print every problem that a build would report, and advice on photos. Nothing is published."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from zoneinfo import ZoneInfo

from sitegen.commands.previous.up_to_date import Outcome, PreviousResult
from sitegen.commands.shared.clock import UsageError, beginning_of, moment_of_build
from sitegen.commands.shared.problem_lists import vehicle_of
from sitegen.commands.shared.terminal import Terminal, exit_code
from sitegen.records.problems import Problem, Severity


def check(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print every problem in the store's files that `--only` and `--vehicle` select."""
    if arguments.vehicle and not (arguments.store / "vehicles" / arguments.vehicle).is_dir():
        raise UsageError(f"{arguments.store} has no folder vehicles/{arguments.vehicle}")
    outcome = _outcome(arguments, terminal)
    problems = _wanted(outcome.problems, arguments)
    if arguments.format == "json":
        return terminal.tell_machines(problems)
    wrong = terminal.tell(problems)
    if not outcome.problems:
        terminal.say(f"No problems in {arguments.store}: {outcome.vehicles} vehicles are ready.")
    elif left_out := len(set(outcome.problems)) - len(set(problems)):
        terminal.say(f"Not shown: {left_out} other problems; sitegen check {arguments.store} shows all.")
    return wrong


def _wanted(problems: Sequence[Problem], arguments: argparse.Namespace) -> tuple[Problem, ...]:
    """Return the problems that `--only errors` and `--vehicle` leave."""
    return tuple(
        problem
        for problem in problems
        if (arguments.only is None or problem.severity is Severity.ERROR)
        and (arguments.vehicle is None or vehicle_of(problem) == arguments.vehicle)
    )


def _outcome(arguments: argparse.Namespace, terminal: Terminal) -> Outcome:
    moment = moment_of_build()
    before = PreviousResult(arguments.store, "check", moment, terminal.say_wrong)
    if (outcome := before.recall()) is not None:
        return outcome
    # Importing these takes longer than finding that nothing has changed.
    from sitegen.commands.shared.composition import BuildRequest, compose, opened_engine
    from sitegen.commands.shared.problem_places import placed
    from sitegen.engine.mapping import Executors
    from sitegen.engine.workers import LocalWorkers
    from sitegen.photos.photo_warnings import warnings_about

    # Leave out vehicles with errors, so that the later steps still report the problems of the other vehicles.
    request = BuildRequest(arguments.store, arguments.jobs, leave_out_faulty=True, moment=moment, only_problems=True)
    with LocalWorkers(arguments.jobs) as workers, opened_engine(request, terminal) as engine:
        composed = compose(request, terminal, workers=workers, engine=engine)
        store = composed.store
        executors = Executors(workers)
        care = tuple(placed(warnings_about(store, engine, executors), store, engine, executors)) if store else ()
    outcome = Outcome((*composed.problems, *care), composed.vehicles)
    if store is not None and not exit_code(outcome.problems):
        before.keep(outcome, beginning_of(composed.until, ZoneInfo(store.settings.time_zone)))
    return outcome
