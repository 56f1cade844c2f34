"""Bench `rebuild`: processor time of a build after no change or a small one, over all its processes."""

from __future__ import annotations

import argparse
import random
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from tests.builders import A_SECOND_VEHICLE, write_store
from tests.conftest import run_sitegen_apart
from tests.inventories import varied_vehicles
from tests.random_edits import edit_at_random

FLOOR = """
import sys, pathlib, sitegen.commands.shared.building
[path.stat() for path in pathlib.Path(sys.argv[1]).rglob('*')]
"""

NAMED_ANEW = """
import os, shutil, sys
published, new = sys.argv[1:]
for place, _, files in os.walk(published):
    folder = new + place[len(published):]
    os.mkdir(folder)
    for file in files:
        os.link(f'{place}/{file}', f'{folder}/{file}')
    descriptor = os.open(folder, os.O_RDONLY)
    os.fsync(descriptor)
    os.close(descriptor)
shutil.rmtree(new)
"""
"""What a publication that takes its place in one step does for each file that has not changed, and nothing else."""


def run(arguments: argparse.Namespace) -> None:
    """Print the table, then what came of the edits."""
    with tempfile.TemporaryDirectory() as folder:
        _print_costs(Path(folder) / "many", arguments.rebuilt)
        _print_edits(Path(folder) / "few", arguments.edits)


def _print_costs(folder: Path, vehicles: int) -> None:
    store = write_store(folder, tuple(varied_vehicles(vehicles)))
    build(store)

    def nothing_remembered() -> None:
        forget(store)
        build(store)

    def every_file_touched() -> None:
        for record in store.glob("vehicles/*/inspection.yaml"):
            record.touch()
        build(store)

    least = floor_of(store)
    print(f"| of {vehicles:,} vehicles, with their pictures | processor | floor |\n| --- | --- | --- |")
    print(f"| imports and a walk of the store: the floor | {least:.1f} s | 1 |", flush=True)
    steps = {
        "all but the pictures made again": nothing_remembered,
        "nothing changed": lambda: build(store),
        "one vehicle changed": lambda: build_with_one_changed(store),
        "every record touched, none changed": every_file_touched,
        "checked for the first time": lambda: _check(store),
        "checked again": lambda: _check(store),
        "every published file named anew, and the names taken away": lambda: name_anew(store),
    }
    for words, act in steps.items():
        spent = processor_of(act)
        print(f"| {words} | {spent:.1f} s | {spent / least:.1f} |", flush=True)


def _print_edits(folder: Path, edits: int) -> None:
    store, dice = write_store(folder, ({}, A_SECOND_VEHICLE)), random.Random(1)
    (store / "pages").mkdir()
    differing = 0
    for _ in range(edits):
        edit_at_random(store, dice)
        if run_sitegen_apart(
            "build", store
        ).returncode:  # what was disclosed has gone without a word: begin a new ledger
            (store / "ledger.jsonl").unlink()
            shutil.rmtree(store / "revisions")
            build(store)
        forget(store)
        differing += "files: 0 new or changed, " not in build(store)
    print(f"\nOf {edits} random edits, {differing} gave other bytes than a cold build.")


def forget(store: Path) -> None:
    """Delete every stored result of a store but its pictures."""
    shutil.rmtree(store / ".cache/previous", ignore_errors=True)
    with closing(sqlite3.connect(store / ".cache/results.sqlite")) as database:
        database.execute("delete from result where task not like 'sitegen.photos.%'")
        database.commit()


def floor_of(store: Path) -> float:
    """Return the seconds of processor that no build of a store can do without."""
    return processor_of(lambda: subprocess.run([sys.executable, "-c", FLOOR, store], check=True))


def name_anew(store: Path) -> None:
    """Name every published file anew, and take the names away. The next build finds that they were touched."""
    subprocess.run([sys.executable, "-c", NAMED_ANEW, f"{store}/published", f"{store}/named anew"], check=True)


def build_with_one_changed(store: Path) -> None:
    """Build after the price of one vehicle has changed."""
    record = store / "vehicles/N00001/inspection.yaml"
    text = record.read_text("utf-8")
    record.write_text(text.replace("price: ", "price: 1", 1), "utf-8")
    build(store)


def build(store: Path) -> str:
    """Build, and return what was said."""
    done = run_sitegen_apart("build", store)
    assert done.returncode == 0, done.stderr
    return done.stdout


def _check(store: Path) -> None:
    done = run_sitegen_apart("check", store)
    assert done.returncode == 0, done.stderr


def processor_of(act: Callable[[], object]) -> float:
    """Return the seconds of processor that processes take which an act begins and waits for."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    act()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
