"""Fuzz the real command: its arguments, a store's settings, zips, and the films that it codes and reads."""

from __future__ import annotations

import json
import random
import re
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.builders import write_store
from tests.conftest import REPOSITORY, run_sitegen_apart
from tests.film.films import Film, make_film
from tests.film.test_hostile_films import coded_or_refused, mutated
from tests.intake.hostile_zips import DAMAGES
from tests.intake.test_zips import GOOD

COMMANDS = (
    "start",
    "intake",
    "price",
    "status",
    "bay",
    "desk",
    "build",
    "check",
    "ledger",
    "sheet",
    "schema",
    "help",
)
"""All but `preview`, which ends only when it is stopped."""
CODES = (0, 1, 2)
PHONE_FILMS = (
    Film("whole.mov", size=(160, 120), seconds=0.5),
    Film("silent.mp4", size=(160, 120), seconds=0.5, sound="none"),
)
SECONDS = 30
"""A command on one vehicle that takes longer has failed."""
WORDS = (
    "verify",
    "show",
    "hand-over",
    "K900",
    "K999",
    "12900",
    "sold",
    "for sale",
    "2026-10-12",
    "inspection",
    "json",
)
"""Arguments that some command takes."""


def fuzz_commands(
    place: Path, hostile: tuple[str, ...], count: int, dice: random.Random, parts: Collection[str]
) -> list[str]:
    """Print what became of random command lines, settings and zips, whichever are in `parts`; return the failures."""
    if not {"lines", "settings", "zips"} & set(parts):
        return []
    store = write_store(place / "a" / "b" / "store")
    values = [value for value in hostile if ".." not in value and not value.startswith("/")]
    options = {command: sorted(_options_of(command)) for command in COMMANDS}

    def command_line(dice: random.Random) -> list[str]:
        command = dice.choice(COMMANDS)
        words = [*values, *WORDS, *options[command], str(store)]
        stranger = [dice.choice(words)[:2_000] for _ in range(dice.randrange(5))]
        return [command, *([str(store)] if dice.randrange(3) else []), *stranger]

    failures = _commands("command lines", command_line, store, count, dice) if "lines" in parts else []
    whole = (store / "site.yaml").read_bytes()

    def settings(dice: random.Random) -> list[str]:
        lines = whole.decode().split("\n")
        at = dice.randrange(len(lines))
        key, colon, _ = lines[at].partition(": ")
        lines[at] = f"{key}: {dice.choice(hostile)}" if colon else dice.choice(hostile)
        (store / "site.yaml").write_bytes("\n".join(lines).encode("utf-8", "surrogatepass"))
        return ["check", str(store)]

    failures += _commands("settings", settings, store, count, dice) if "settings" in parts else []
    (store / "site.yaml").write_bytes(whole)
    packed = place / "a" / "K910.zip"

    def zips(dice: random.Random) -> list[str]:
        packed.write_bytes(DAMAGES[dice.choice(sorted(DAMAGES))](dice, GOOD))
        return ["intake", str(store), str(packed)]

    return failures + (_commands("zips", zips, store, count * 3 // 5, dice) if "zips" in parts else [])


def _options_of(command: str) -> Iterator[str]:
    """Yield the options of a command. A scheduler's address is left out: each wrong one takes seconds to refuse."""
    told = run_sitegen_apart(command, "--help").stdout
    yield from set(re.findall(r"--[a-z-]+", told)) - {"--scheduler"}


def _commands(
    label: str,
    draw: Callable[[random.Random], list[str]],
    store: Path,
    count: int,
    dice: random.Random,
) -> list[str]:
    """Run so many commands; print one line of the table."""
    failures: list[str] = []
    refused, slowest = 0, 0.0
    with forking() as run:
        for _ in range(count):
            arguments = [word for word in draw(dice) if "\0" not in word]
            began = time.monotonic()
            code, told = run(arguments, store.parent)
            slowest = max(slowest, time.monotonic() - began)
            refused += code != 0
            if "Traceback" in told or code not in CODES or _STEERS.search(told):
                failures.append(f"{label}: {arguments!r}: {code}\n{told[-900:]}")
    print(
        f"| {count:,} {label} | {refused} | {count - refused} | {len(failures)} | - | - | {slowest:.2f} s |",
        flush=True,
    )
    return failures


_STEERS = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f]")


@contextmanager
def forking() -> Iterator[Callable[[list[str], Path], tuple[int | None, str]]]:
    """Yield a function that runs a command line in a folder and returns its exit code and all that it printed.

    The code is None after too many seconds.
    """
    server = [sys.executable, "-m", "tests.bench.forking_server"]
    with subprocess.Popen(
        server, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=REPOSITORY
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        asking, answers = process.stdin, process.stdout

        def run(arguments: list[str], folder: Path) -> tuple[int | None, str]:
            print(json.dumps([arguments, str(folder), SECONDS]), file=asking, flush=True)
            code, told = json.loads(answers.readline())
            return code, told

        yield run
        asking.close()


def fuzz_films(place: Path, count: int, dice: random.Random) -> list[str]:
    """Code damaged films; print one line of the table and return the failures."""
    failures: list[str] = []
    refused, slowest = 0, 0.0
    sources = sorted((REPOSITORY / "tests" / "data" / "videos").iterdir())
    for number, phone_film in enumerate(PHONE_FILMS):
        (place / "phones" / str(number)).mkdir(parents=True)
        sources.append(make_film(phone_film, place / "phones" / str(number)))
    for number in range(count):
        source = dice.choice(sources)
        film, to = place / f"{number}{source.suffix}", place / "coded" / "film.mp4"
        to.parent.mkdir(exist_ok=True)
        film.write_bytes(mutated(source.read_bytes(), dice))
        began = time.monotonic()
        try:
            refused += coded_or_refused(film, to) != "coded"
        except Exception:  # whatever is raised is what is looked for
            failures.append(f"film {source.name}, {number}:\n{traceback.format_exc()[-900:]}")
        slowest = max(slowest, time.monotonic() - began)
        film.unlink()
    print(
        f"| {count:,} films | {refused} | {count - refused} | {len(failures)} | - | - | {slowest:.2f} s |", flush=True
    )
    return failures


def _row(label: str, refused: int, taken: int, failures: int, slowest: float) -> str:
    """Return a row of the bench's table. Which line a refusal names is not counted here."""
    return f"| {label} | {refused} | {taken} | {failures} | - | - | {slowest:.2f} s |"
