"""Fuzz the real command: its arguments, a store's settings, zips, and the films that it codes and reads."""

from __future__ import annotations

import random
import re
import subprocess
import time
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.builders import write_store
from tests.conftest import REPOSITORY, run_sitegen_apart
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


def fuzz_commands(place: Path, hostile: tuple[str, ...], count: int, dice: random.Random) -> list[str]:
    """Print what became of random command lines, settings, zips and films; return the failures."""
    store = write_store(place / "a" / "b" / "store")
    values = [value for value in hostile if ".." not in value and not value.startswith("/")]
    options = {command: sorted(_options_of(command)) for command in COMMANDS}

    def command_line(dice: random.Random) -> list[str]:
        command = dice.choice(COMMANDS)
        words = [*values, *WORDS, *options[command], str(store)]
        stranger = [dice.choice(words)[:2_000] for _ in range(dice.randrange(5))]
        return [command, *([str(store)] if dice.randrange(3) else []), *stranger]

    failures = _commands("command lines", command_line, store, count, dice)
    whole = (store / "site.yaml").read_bytes()

    def settings(dice: random.Random) -> list[str]:
        lines = whole.decode().split("\n")
        at = dice.randrange(len(lines))
        key, colon, _ = lines[at].partition(": ")
        lines[at] = f"{key}: {dice.choice(hostile)}" if colon else dice.choice(hostile)
        (store / "site.yaml").write_bytes("\n".join(lines).encode("utf-8", "surrogatepass"))
        return ["check", str(store)]

    failures += _commands("settings", settings, store, count, dice)
    (store / "site.yaml").write_bytes(whole)
    packed = place / "a" / "K910.zip"

    def zips(dice: random.Random) -> list[str]:
        packed.write_bytes(DAMAGES[dice.choice(sorted(DAMAGES))](dice, GOOD))
        return ["intake", str(store), str(packed)]

    return failures + _commands("zips", zips, store, count * 3 // 5, dice)


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
    for _ in range(count):
        arguments = draw(dice)
        if any("\0" in word for word in arguments):
            continue
        began = time.monotonic()
        try:
            path = {"PYTHONPATH": str(REPOSITORY)}
            done = run_sitegen_apart(
                *arguments, cwd=store.parent, env=path, timeout=SECONDS, stdin=subprocess.DEVNULL
            )
        except subprocess.TimeoutExpired:
            failures.append(f"{label}: {arguments!r}: not done after {SECONDS} s")
            continue
        slowest = max(slowest, time.monotonic() - began)
        refused += done.returncode != 0
        if "Traceback" in done.stderr or done.returncode not in CODES:
            failures.append(f"{label}: {arguments!r}: {done.returncode}\n{done.stderr[-900:]}")
    print(
        f"| {count:,} {label} | {refused} | {count - refused} | {len(failures)} | - | - | {slowest:.2f} s |",
        flush=True,
    )
    return failures


def fuzz_films(place: Path, count: int, dice: random.Random) -> list[str]:
    """Code damaged films; print one line of the table and return the failures."""
    failures: list[str] = []
    refused, slowest = 0, 0.0
    sources = sorted((REPOSITORY / "tests" / "data" / "videos").iterdir())
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
