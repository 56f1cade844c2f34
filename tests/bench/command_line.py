"""How long a person waits for help and version: processor time of the whole process, against an empty Python."""

from __future__ import annotations

import argparse
import resource
import statistics
import subprocess
import sys

RUNS = 9


def run(_arguments: argparse.Namespace) -> None:
    """Print the table."""
    print("| command | processor, median of 9 |\n| --- | --- |")
    for words, arguments in (
        ("an empty Python", ["-c", ""]),
        ("`sitegen --version`", ["-m", "sitegen", "--version"]),
        ("`sitegen --help`", ["-m", "sitegen", "--help"]),
        ("`sitegen build --help`", ["-m", "sitegen", "build", "--help"]),
    ):
        print(f"| {words} | {statistics.median(_processor(arguments) for _ in range(RUNS)):.2f} s |", flush=True)


def _processor(arguments: list[str]) -> float:
    """Return the seconds of processor that a Python takes with these arguments."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
