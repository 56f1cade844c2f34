"""The command line: parse the arguments, run the command, return its exit code.

Exit codes: 0 success; 1 problems in the store's files or in their surroundings; 2 wrong usage; 130 interrupted by
Ctrl-C. The modules of a command are imported when it runs, so that `--help` and `--version` start fast.
"""

from __future__ import annotations

import argparse
import difflib
import os
import re
import sqlite3
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor
from datetime import date
from importlib import import_module
from itertools import takewhile
from pathlib import Path
from typing import Any, NoReturn

from sitegen import __version__
from sitegen.commands.shared.clock import UsageError
from sitegen.commands.shared.terminal import Terminal, visible
from sitegen.disk import NO_ROOM
from sitegen.engine.errors import ClusterError
from sitegen.garbage import collect_garbage_seldom
from sitegen.records.problems import ProblemsError

Command = Callable[[argparse.Namespace, Terminal], int]

COMMANDS = {
    "start": "write a new store that builds at once; never overwrite a file",
    "intake": "take in the inbox; or add a vehicle from options or a zip, or many from a table, all or nothing",
    "price": "change the price in a vehicle's record, and nothing else",
    "status": "change the status in a vehicle's record: preparing, for sale, on hold, sold",
    "services": "put a supplier's table of prices into services.yaml; all or nothing",
    "bay": "write the bay page, on which a vehicle is taken in with a phone",
    "convert": "convert a store of an older format, and say what was done",
    "desk": "write the salesperson's pages: messages, answers, what to do, the order of a film",
    "build": "build the whole site and publish it into a folder",
    "check": "report every problem of a build, and advice on photos; publish nothing",
    "ledger": "verify what was disclosed, show it as of a day, write the buyer's copy, join, withdraw",
    "preview": "serve the site on this machine only, and rebuild it when files change",
    "sheet": "write a bay sheet to print and fill in by hand: blank, or for one vehicle",
    "schema": "print the JSON Schema of a store's files",
    "help": "print what files may contain: kinds of defect, services, check points, settings; theme, hosting",
}
"""Each command with its help text.

The function has the command's name, in a module of that name or of `OTHER_MODULES`.
"""

OTHER_MODULES = {"start": "intake", "price": "sale", "status": "sale"}

STATUSES = ("preparing", "for sale", "on hold", "sold")
"""The values of `status` in a record. They are repeated here because help must not import the record types."""

RECORDS = ("inspection", "site", "services")
"""The kinds of file for which `sitegen schema` prints a JSON Schema."""

TOPICS = {
    "kinds": "kinds of defect, for `kind` in a record",
    "services": "services, for `services` in a record and `prices` in services.yaml",
    "checks": "check points, for `checks` in a record",
    "settings": "every key of site.yaml",
    "theme": "how to change the look, and the files of the theme",
    "hosting": "settings for nginx, Apache and lighttpd",
    "record": "every key of every file, as Markdown",
}
"""The topics of `sitegen help`, each with its description."""

EXAMPLES = """\
examples:
  sitegen start my_store                  a new store, to be filled
  sitegen intake my_store --from new.csv  add many vehicles; without --from, one (see sitegen intake --help)
  sitegen check my_store                  every mistake in the store's files, by file, line and column
  sitegen preview my_store                see the site while you write; pages reload by themselves
  sitegen price my_store K102 12,900      a new price; sitegen status my_store K102 sold --on 2026-10-12
  sitegen build my_store                  the finished site, in my_store/published
  sitegen build my_store --to /srv/site   the finished site, in a folder of your choice
  sitegen schema inspection > i.json      for an editor that completes and checks inspection.yaml

A store is a folder with site.yaml, services.yaml and, in vehicles/<stock>/, inspection.yaml, visits/ and photos/.
Exit codes: 0 good, 1 problems in the store's files, 2 wrong usage.
"""


_SAID_AT_INTAKE = {
    "vin": "as on the dash or the title; its check digit is verified",
    "odometer": "the reading with its unit: '88,900 mi'",
    "on": "day of the reading and of the first look at the vehicle: 2026-10-04",
    "make": "make of the vehicle",
    "model": "model, as the maker calls it",
    "body": "hatchback, sedan, wagon, suv, minivan, cargo van, pickup, coupe or convertible",
    "drive": "fwd, rwd, awd or 4wd",
    "fuel": "gasoline, diesel, hybrid, plug-in hybrid, electric, flex fuel, natural gas or hydrogen",
    "terms": "sale terms: 'as is' or 'implied warranties only'",
    "year": "model year; without it, the model year in the VIN",
    "price": "asking price: 12900 or 12,900",
    "status": "preparing, 'for sale', 'on hold' or sold; without it, preparing",
    "photos": "a folder or a zip of photos; they are copied in the order in which they were taken",
}
_STOCK_NUMBER = "the store's own number for the vehicle"
_STOCK = (
    "the store's own number for the vehicle; or a zip from the bay page (K110.zip), which needs no options; without "
    "it, every finished file in the inbox"
)
_TABLE = (
    "many vehicles from a table: CSV as in RFC 4180, in UTF-8, with commas or semicolons and the columns "
    "stock,vin,odometer,on,make,model,body,drive,fuel,terms and, if wanted, year, photos, price and status"
)
_PRICE_TABLE = (
    "a table of prices: CSV as in RFC 4180, in UTF-8, with commas or semicolons; columns are service, price and, if "
    "wanted, those of `for_some` (name, rim_from, fuels: gasoline|diesel, ...; see sitegen help record)"
)


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command that the arguments name and return its exit code."""
    terminal = Terminal(sys.stdout, sys.stderr)
    collect_garbage_seldom()
    try:
        arguments = _parser().parse_args(_known(sys.argv[1:] if argv is None else argv))
        module = OTHER_MODULES.get(arguments.command, arguments.command)
        command: Command = getattr(import_module(f"sitegen.commands.{module}"), arguments.command)
        answer = command(arguments, terminal)
        sys.stdout.flush()
        return answer
    except SystemExit as end:  # argparse has already printed the mistake or the help
        return end.code if isinstance(end.code, int) else 2
    except ProblemsError as fault:
        as_json = getattr(arguments, "format", None) == "json"
        return terminal.tell_machines(fault.problems) if as_json else terminal.tell(fault.problems)
    except (UsageError, ClusterError) as fault:
        terminal.say_wrong(str(fault))
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # the reader of our output has closed the pipe, as `| head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # so that the flush at exit does not fail
        return 1
    except BrokenExecutor:
        terminal.say_wrong("a worker process was killed, perhaps for lack of memory; try again with --jobs 1")
        return 1
    except sqlite3.OperationalError as fault:
        mend = "see that there is room on the disk and that its files may be written, and build again"
        terminal.say_wrong(
            f"cannot use the .cache folder of the store: {fault}; {mend}; the published site is complete"
        )
        return 1
    except OSError as fault:
        if fault.errno in NO_ROOM:  # most likely in the cache of earlier builds
            terminal.say_wrong("the disk is full; free some space and try again; the published site is complete")
            return 1
        terminal.say_wrong(f"{fault.strerror or fault}{f': {fault.filename}' if fault.filename else ''}")
        return 1


def _known(argv: Sequence[str]) -> Sequence[str]:
    """Return the arguments if their command is one of ours. Raises UsageError with the nearest command otherwise."""
    command = next((word for word in argv if not word.startswith("-")), None)
    if command is None or command in COMMANDS:
        return argv
    near = difflib.get_close_matches(command, COMMANDS, n=1)
    names = ", ".join(COMMANDS)
    raise UsageError(
        f"there is no command {command!r}; {f'did you mean {near[0]}?' if near else f'there are {names}'}"
    )


class _Parser(argparse.ArgumentParser):
    """An argument parser that names an unknown option before it takes the option's value for another argument."""

    def __init__(self, *arguments: Any, **named: Any) -> None:
        self._options: list[str] = []
        self._leads_on = False
        super().__init__(*arguments, **named)

    def add_argument(self, *names: Any, **how: Any) -> argparse.Action:
        action = super().add_argument(*names, **how)
        self._options += action.option_strings
        return action

    def add_subparsers(self, **how: Any) -> Any:
        self._leads_on = True  # the rest belongs to the subcommand's parser
        return super().add_subparsers(**how)

    def error(self, message: str) -> NoReturn:
        """Print the mistake without the usage of the whole command, which hides it. End with exit code 2."""
        if choice := re.search(r"invalid choice: '(.*?)' \(choose from (.*)\)", message):
            near = difflib.get_close_matches(choice[1], re.findall(r"'(.*?)'", choice[2]), n=1)
            message += f"; did you mean {near[0]}?" if near else ""
        if message.endswith("required: ACT"):
            message = f"say what to do: {', '.join(self._acts())}"
        self.exit(2, f"{self.prog}: {visible(message)}\n({self.prog} --help shows how to write it)\n")

    def _acts(self) -> Iterator[str]:
        for action in self._actions:
            if isinstance(action, argparse._SubParsersAction):
                yield from action.choices

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        options = takewhile(lambda word: word != "--", () if self._leads_on else args)
        names = (word.partition("=")[0] for word in options if word.startswith("--"))
        if (wrong := next((name for name in names if name not in self._options), None)) is not None:
            near = difflib.get_close_matches(wrong, self._options, n=1)
            self.error(f"there is no option {wrong!r}{f'; did you mean {near[0]}?' if near else ''}")
        return super().parse_known_args(args, namespace)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="sitegen",
        description="Turn a store's inspections and photos of used vehicles into pages that buyers can rely on.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"sitegen {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND", dest="command")

    one = _command(commands, "start")
    one.add_argument("folder", type=Path, metavar="FOLDER", help="the folder of the new store")

    one = _command(commands, "intake")
    _add_store(one)
    one.add_argument("stock", nargs="?", metavar="STOCK", help=_STOCK)
    for name, words in _SAID_AT_INTAKE.items():
        one.add_argument(f"--{name}", help=words)
    one.add_argument("--from", dest="table", type=Path, metavar="FILE", help=_TABLE)

    one = _command(commands, "price")
    _add_store(one)
    one.add_argument("pairs", nargs="*", metavar="STOCK PRICE", help="K102 12,900, and further pairs if wanted")
    one.add_argument("--from", dest="table", type=Path, metavar="FILE", help="CSV with the columns stock and price")

    one = _command(commands, "status")
    _add_store(one)
    words = f"K102 sold, and further pairs if wanted; {', '.join(STATUSES)}: in quotes if it has two words"
    one.add_argument("pairs", nargs="*", metavar="STOCK STATUS", help=words)
    one.add_argument("--from", dest="table", type=Path, metavar="FILE", help="CSV with the columns stock and status")
    one.add_argument("--on", type=_day, metavar="DAY", help="day of the sale: 2026-10-12; without it, today")

    one = _command(commands, "services")
    _add_store(one)
    one.add_argument("table", type=Path, metavar="FILE", help=_PRICE_TABLE)

    one = _command(commands, "bay")
    _add_store(one)
    one.add_argument("--to", type=Path, metavar="FOLDER", help="the target folder; default: STORE/desk/bay")

    one = _command(commands, "desk")
    _add_store(one)
    one.add_argument("--to", type=Path, metavar="FOLDER", help="the target folder; default: STORE/desk/sales")
    _add_jobs(one)

    one = _command(commands, "build")
    _add_store(one)
    one.add_argument("--to", type=Path, metavar="FOLDER", help="the target folder; default: STORE/published")
    _add_jobs(one)
    one.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help="send photos, records and pages to a Dask scheduler's workers (tcp://...)",
    )

    one.add_argument(
        "--leave-out-faulty",
        action="store_true",
        help="continue without vehicles whose files have an error: their last good pages stay; the exit code is 1",
    )
    one.add_argument(
        "--report",
        type=Path,
        metavar="FILE",
        help="write a JSON report there: files that are new or changed, and removed; a failed build leaves no report",
    )

    one = _command(commands, "check")
    _add_store(one)
    one.add_argument(
        "--format", choices=("lines", "json"), default="lines", help="lines for people and editors, json for programs"
    )
    one.add_argument("--only", choices=("errors",), help="leave out the warnings")
    one.add_argument("--vehicle", metavar="STOCK", help=f"only what concerns one vehicle: {_STOCK_NUMBER}")
    _add_jobs(one)

    one = _command(commands, "preview")
    _add_store(one)
    one.add_argument(
        "--port", type=_port, default=8000, metavar="N", help="port; without it, 8000; 0 takes any free port"
    )
    one.add_argument("--inbox", action="store_true", help="take in the files of the inbox as they arrive")
    one.add_argument("--components", action="store_true", help="show every component of the theme too")
    _add_jobs(one)

    one = _command(commands, "ledger")
    _add_store(one)
    acts = one.add_subparsers(title="what to do", required=True, metavar="ACT", dest="act")
    _act(acts, "verify", "check that every line, revision and photo is as it was written")
    act = _act(
        acts, "stamp", "ask a time-stamping authority (RFC 3161) to sign when the ledger existed, or keep its answer"
    )
    act.add_argument("--answer", type=Path, metavar="FILE", help="the authority's answer, to verify and keep")
    act.add_argument("--roots", type=Path, metavar="FILE", help="root certificates (PEM) of the authority, to trust")
    act = _act(
        acts, "show", "print what was disclosed about a vehicle on a day: the text of the page, and the record"
    )
    act.add_argument("stock", metavar="STOCK", help="the store's own number, today's or an earlier one")
    act.add_argument("--on", type=_day, metavar="DAY", help="2026-10-12; without it, today")
    act.add_argument("--language", metavar="TAG", help="en; without it, the store's first")
    act = _act(acts, "hand-over", "write the buyer's copy: page, sheets, photos, facts, and how to check them")
    act.add_argument("stock", metavar="STOCK", help=_STOCK_NUMBER)
    act.add_argument("--to", type=Path, metavar="PLACE", help="a new folder, or a new zip; else STOCK-hand-over.zip")

    act = _act(acts, "join", "join the ledger of another copy of the store that was published too; no line is lost")
    act.add_argument("other", type=Path, metavar="OTHER", help="the folder of the other copy, with its revisions/")
    act = _act(acts, "withdraw", "remove photos that were shown, such as one with private data, from everywhere")
    act.add_argument("files", nargs="+", metavar="FILE", help="files in revisions/shown/, or their names")
    act.add_argument("--because", required=True, metavar="WORDS", help="the reason, for the ledger: no private data")

    one = _command(commands, "sheet")
    _add_store(one)
    one.add_argument("stock", nargs="?", metavar="STOCK", help=f"{_STOCK_NUMBER}; without it, a blank sheet")
    one.add_argument("--to", type=Path, metavar="FOLDER", help="the target folder; default: STORE/desk/bay_sheets")

    _add_store(_command(commands, "convert"))

    one = _command(commands, "schema")
    one.add_argument("record", nargs="?", choices=RECORDS, help="which file; without it, all of them")

    one = _command(commands, "help")
    one.add_argument("topic", nargs="?", choices=TOPICS, help="what to print; without it, a list of topics")
    return parser


def _command(commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str) -> argparse.ArgumentParser:
    words = COMMANDS[name]
    return commands.add_parser(name, help=words, description=f"{words.capitalize()}.", allow_abbrev=False)


def _act(acts: argparse._SubParsersAction[argparse.ArgumentParser], name: str, words: str) -> argparse.ArgumentParser:
    return acts.add_parser(name, help=words, description=f"{words.capitalize()}.", allow_abbrev=False)


def _add_store(command: argparse.ArgumentParser) -> None:
    command.add_argument("store", type=_store, metavar="STORE", help="the store's folder, which holds site.yaml")


def _add_jobs(command: argparse.ArgumentParser) -> None:
    command.add_argument("--jobs", type=_jobs, metavar="N", help="number of workers; without it, one per core")


def _store(text: str) -> Path:
    folder = Path(text)
    store = next((parent for parent in folder.absolute().parents if (parent / "site.yaml").is_file()), None)
    if folder.exists() and store is not None and not (folder / "site.yaml").is_file():
        raise argparse.ArgumentTypeError(f"{text!r} is inside the store {str(store)!r}: name that folder")
    if not folder.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {text!r}")
    if not (folder / "site.yaml").is_file():
        raise argparse.ArgumentTypeError(f"{text!r} is not a store's folder: it holds no site.yaml")
    return folder


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        from sitegen.records.everyday import rewritten

        mend = rewritten(text, to_the_day=True)
        advice = f"; {mend}" if mend else ""
        raise argparse.ArgumentTypeError(f"expected a day such as 2026-10-12, found {text!r}{advice}") from None


def _port(text: str) -> int:
    return _whole_number(text, 0, 65_535)


def _jobs(text: str) -> int:
    return _whole_number(text, 1, 1_000)


def _whole_number(text: str, low: int, high: int) -> int:
    if not text.isascii() or not text.isdecimal() or not low <= int(text) <= high:
        raise argparse.ArgumentTypeError(f"expected a whole number from {low} to {high}, found {text!r}")
    return int(text)
