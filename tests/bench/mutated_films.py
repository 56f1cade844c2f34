"""Bench `mutated_films`: 300 damaged films of phones. None may hang, end in a traceback, or reach another file.

Hostile names lead to a pipe that nobody writes to: a program that opens it hangs until the time limit.
"""

from __future__ import annotations

import argparse
import os
import random
import tempfile
import time
from collections import Counter
from pathlib import Path

from sitegen.film.coding import Cut
from sitegen.film.making import measure_loudness
from sitegen.film.program import FilmError
from tests.film.films import PROGRAM, Film, make_film
from tests.film.test_hostile_films import coded_or_refused, mutated

COUNT = 300
SECONDS = 60
"""A film of half a second that takes longer has failed."""
SMALL = (160, 120)
PHONES = (
    Film("phone.mov", "hevc", SMALL, depth=10, transfer="hlg", rotation=270, seconds=0.5),
    Film("plain.mp4", size=SMALL, seconds=0.5, options=("-movflags", "+faststart")),
    Film("fragmented.mp4", size=SMALL, seconds=0.5, options=("-movflags", "frag_keyframe+empty_moov")),
    Film("web.webm", "vp9", SMALL, seconds=0.5),
    Film("new.mp4", "av1", SMALL, depth=10, seconds=0.5),
    Film("old.3gp", "h263", (176, 144), rate="15", seconds=0.5),
)


def run(arguments: argparse.Namespace) -> None:
    """Print what became of the mutants of each film. Exit with the failures if there are any."""
    dice = random.Random(arguments.seed)
    failures: list[str] = []
    print("| film | coded | refused in words | slowest |\n| --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory(prefix="sitegen-bench-mutants-") as name:
        place = Path(name)
        trap = place / "secret"
        os.mkfifo(trap)
        for film in PHONES:
            whole = make_film(film, place).read_bytes()
            results: Counter[str] = Counter()
            slowest = 0.0
            for number in range(COUNT // len(PHONES)):
                mutant = place / "mutants" / f"{number}-{film.name}"
                mutant.parent.mkdir(exist_ok=True)
                mutant.write_bytes(_hostile(whole, str(trap).encode(), dice))
                before = _names(place)
                began = time.perf_counter()
                result = _tried(mutant, place / "coded" / "film.mp4")
                took = time.perf_counter() - began
                slowest = max(slowest, took)
                results["coded" if result == "coded" else "refused"] += 1
                new = {path for path in _names(place) - before if not path.startswith("coded")}
                if not result.startswith(("coded", "which ", "whose ")) or took > SECONDS or new or _is_open(trap):
                    failures.append(f"{mutant.name}, seed {arguments.seed}: {result}, {took:.0f} s, {sorted(new)}")
                mutant.unlink()
            print(f"| {film.name} | {results['coded']} | {results['refused']} | {slowest:.1f} s |", flush=True)
    print(*failures, sep="\n")
    if failures:
        raise SystemExit(1)


def _tried(mutant: Path, to: Path) -> str:
    """Do with a film what the build does; return the result in words, or a traceback's last line."""
    to.parent.mkdir(exist_ok=True)
    try:
        result = coded_or_refused(mutant, to)
        measure_loudness(PROGRAM, mutant, Cut())
    except FilmError as fault:
        return str(fault)
    except Exception as fault:
        return f"{type(fault).__name__}: {fault}"
    return result


def _hostile(film: bytes, path: bytes, dice: random.Random) -> bytes:
    """Return a film with one to three harms, and in some with the path of another file among its first bytes."""
    content = film
    for _ in range(dice.randint(1, 3)):
        content = mutated(content, dice) or film[:100]
    if dice.random() < 0.2:
        at = dice.randrange(min(len(content), 4000))
        content = content[:at] + path + content[at + len(path) :]
    return content


def _names(place: Path) -> set[str]:
    return {path.relative_to(place).as_posix() for path in place.rglob("*")}


def _is_open(trap: Path) -> bool:
    """Return whether anybody has opened the pipe for reading: fifo(7), opening for writing without waiting."""
    try:
        os.close(os.open(trap, os.O_WRONLY | os.O_NONBLOCK))
    except OSError:
        return False
    return True
