"""Bench `rebuild`: what a build costs where little or nothing has changed, in processor time of all its processes.

The floor does what no build can do without: it imports the same code and asks the disk for the status of every file
of the store. Then as many random edits as wished, each built with what was remembered; a build without finds nothing
to change.
"""

from __future__ import annotations

import argparse
import random
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from tests.builders import A_SECOND_VEHICLE, write_store
from tests.conftest import run_sitegen
from tests.inventories import varied_vehicles
from tests.random_edits import edit_at_random

FLOOR = """
import sys, pathlib, sitegen.commands.shared.building
[path.stat() for path in pathlib.Path(sys.argv[1]).rglob('*')]
"""

REMEMBERED = ("pages", "records", "templates", "as_before")
"""Folders in `.cache`."""


def run(arguments: argparse.Namespace) -> None:
    """Print the table, then what came of the edits."""
    with tempfile.TemporaryDirectory() as folder:
        _print_costs(Path(folder) / "many", arguments.rebuilt)
        _print_edits(Path(folder) / "few", arguments.edits)


def _print_costs(folder: Path, vehicles: int) -> None:
    store = write_store(folder, tuple(varied_vehicles(vehicles)))
    _build(store)

    def floor() -> None:
        subprocess.run([sys.executable, "-c", FLOOR, store], check=True)

    def nothing_remembered() -> None:
        for remembered in REMEMBERED:
            shutil.rmtree(store / ".cache" / remembered)
        _build(store)

    def every_file_touched() -> None:
        for record in store.glob("vehicles/*/inspection.yaml"):
            record.touch()
        _build(store)

    def one_changed() -> None:
        record = store / "vehicles/N00001/inspection.yaml"
        text = record.read_text("utf-8")
        record.write_text(text.replace("price: ", "price: 1", 1), "utf-8")
        _build(store)

    least = _processor(floor)
    print(f"| of {vehicles:,} vehicles, with their pictures | processor | floor |\n| --- | --- | --- |")
    print(f"| imports and a walk of the store: the floor | {least:.1f} s | 1 |", flush=True)
    steps = {
        "neither page nor record remembered": nothing_remembered,
        "nothing changed": lambda: _build(store),
        "one vehicle changed": one_changed,
        "every record touched, none changed": every_file_touched,
        "checked for the first time": lambda: _check(store),
        "checked again": lambda: _check(store),
    }
    for words, act in steps.items():
        spent = _processor(act)
        print(f"| {words} | {spent:.1f} s | {spent / least:.1f} |", flush=True)


def _print_edits(folder: Path, edits: int) -> None:
    store, dice = write_store(folder, ({}, A_SECOND_VEHICLE)), random.Random(1)
    (store / "pages").mkdir()
    differing = 0
    for _ in range(edits):
        edit_at_random(store, dice)
        if run_sitegen("build", store).returncode:  # what was disclosed has gone without a word: begin a new ledger
            (store / "ledger.jsonl").unlink()
            shutil.rmtree(store / "revisions")
            _build(store)
        for remembered in REMEMBERED:
            shutil.rmtree(store / ".cache" / remembered)
        differing += "files: 0 new or changed, " not in _build(store)
    print(f"\nOf {edits} random edits, {differing} gave other bytes than a cold build.")


def _build(store: Path) -> str:
    done = run_sitegen("build", store)
    assert done.returncode == 0, done.stderr
    return done.stdout


def _check(store: Path) -> None:
    done = run_sitegen("check", store)
    assert done.returncode == 0, done.stderr


def _processor(act: Callable[[], object]) -> float:
    """Return the seconds of processor that processes take which an act begins and waits for."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    act()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
