"""`sitegen start` writes a new store. `sitegen intake` adds vehicles to a store, all of them or none."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from sitegen.commands.shared.clock import UsageError, moment_of_build
from sitegen.commands.shared.inbox import take_in_arrivals
from sitegen.commands.shared.store_day import today_of_store
from sitegen.commands.shared.terminal import Terminal
from sitegen.intake.adding import Errors, take_in, take_in_zip
from sitegen.intake.arrival import COLUMNS, Arrival, parse_arrival
from sitegen.intake.arrival_table import read_table
from sitegen.intake.later_look import LaterLook
from sitegen.intake.new_store import existing_files, start_store, starter_files
from sitegen.reading.visits import VISITS
from sitegen.records.problems import Problem
from sitegen.records.visits.current import FIRST_LOOK


def start(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write a new store. If any of its files exists already, write nothing."""
    files = starter_files()
    in_the_way = existing_files(arguments.folder, files)
    if in_the_way:
        terminal.say_wrong(f"nothing was written, because {arguments.folder} already has {', '.join(in_the_way)}")
        return 1
    start_store(arguments.folder, files)
    terminal.say(f"A new store is in {arguments.folder}. Next: put your own data into site.yaml, and add a vehicle.")
    return 0


def intake(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Write the folder of each vehicle that the options, a table or a zip describe.

    If there is a problem, write none.
    """
    if arguments.stock is not None and arguments.table is not None:
        raise UsageError("give either a stock number, a zip of the bay page, or a table (--from FILE.csv)")
    if arguments.stock is None and arguments.table is None:
        return _intake_of_inbox(arguments, terminal)
    if arguments.stock is not None and arguments.stock.lower().endswith(".csv"):
        raise UsageError(f"a table is given with --from: sitegen intake {arguments.store} --from {arguments.stock}")
    if arguments.stock is not None and arguments.stock.lower().endswith(".zip"):
        return _intake_of_zip(arguments, terminal)
    if arguments.table:
        arrivals, are_rows_sound = _from_table(arguments.table, terminal)
    else:
        arrivals, are_rows_sound = [("", parse_arrival({name: getattr(arguments, name) for name in COLUMNS}))], True
    today = today_of_store(arguments.store, moment_of_build())
    problems = take_in(arguments.store, arrivals, today, keep=are_rows_sound)
    _tell(problems, terminal)
    if problems or not are_rows_sound:
        terminal.say_wrong("nothing was taken in")
        return 1
    for _, arrival in arrivals:
        terminal.say(_taken_in(arguments.store, arrival.stock))
    return 0


def _intake_of_inbox(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Take in the inbox. Return 1 if a file was refused, or nobody could look into the inbox."""
    if options := [f"--{name}" for name in COLUMNS if getattr(arguments, name) is not None]:
        raise UsageError(f"without a stock number, the inbox is taken in: leave out {', '.join(options)}")
    report = take_in_arrivals(arguments.store, moment_of_build(), terminal)
    if report is None:
        return 1
    if not (report.taken or report.refused or report.waiting):
        terminal.say("The inbox holds no new file")
    return int(bool(report.refused))


def _intake_of_zip(arguments: argparse.Namespace, terminal: Terminal) -> int:
    said = [f"--{name}" for name in COLUMNS if name != "stock" and getattr(arguments, name) is not None]
    if said:
        raise UsageError(f"a zip contains all data of its vehicle: leave out {', '.join(said)}")
    today = today_of_store(arguments.store, moment_of_build())
    stock, problems, later = take_in_zip(arguments.store, Path(arguments.stock), today)
    _tell(problems, terminal)
    if stock is None:
        terminal.say_wrong("nothing was taken in")
        return 1
    if later is None:
        terminal.say(_taken_in(arguments.store, stock))
        return 0
    for words in _told(arguments.store / "vehicles" / stock / VISITS, stock, later):
        terminal.say(words)
    return 0


def _told(folder: Path, stock: str, later: LaterLook) -> Iterator[str]:
    """Yield one sentence for each part of a visit that was added to a known vehicle or left out.

    `later` is its result.
    """
    if later.visit == FIRST_LOOK:
        yield f"{stock} has this inspection already."
        return
    file = folder / f"{later.visit}.yaml"
    yield f"A visit to {stock} is in {file}." if later.is_new else f"{stock} has this visit already, in {file}."
    if later.passed_over:
        yield f"Not taken in, because the store decides it: {', '.join(later.passed_over)}."
    if later.same:
        yield f"The same kind of defect at the same place: {', '.join(later.same)}."
    if later.not_mentioned:
        yield f"Not looked at again, and as before: {', '.join(later.not_mentioned)}."


def _taken_in(store: Path, stock: str) -> str:
    """Return where the new vehicle's folder is, and the command that offers the vehicle for sale."""
    offering = f'once it has a price, sitegen status {store} {stock} "for sale"'
    return f"{stock} is in {store / 'vehicles' / stock}. Next: {offering}"


def _tell(problems: Errors, terminal: Terminal) -> None:
    for problem in problems:
        if isinstance(problem, str):
            terminal.say_wrong(problem)
    terminal.tell(problem for problem in problems if isinstance(problem, Problem))


def _from_table(path: Path, terminal: Terminal) -> tuple[list[tuple[str, Arrival]], bool]:
    """Return the vehicles of a table that could be read, and whether every row could be read.

    Print a problem for each row that could not.
    """
    try:
        arrivals, problems = read_table(_text(path))
    except UnicodeDecodeError:
        arrivals, problems = [], ["it is not written in UTF-8: save it again as CSV in UTF-8"]
    if not arrivals and not problems:
        problems = ["it holds no vehicle"]
    for problem in problems:
        terminal.say_wrong(f"{path}: {problem}")
    return [(f"{path}: line {line}: ", arrival) for line, arrival in arrivals], not problems


def _text(path: Path) -> str:
    with path.open(encoding="utf-8", newline="") as file:
        return file.read()
