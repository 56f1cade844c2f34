"""Bench `growth`: the cost of each stage of a build and a check, for a tenth of the vehicles and for all."""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import yaml

from sitegen.engine.workers import usable_cores
from tests.bench.rebuild import build, build_with_one_changed, floor_of, name_anew, processor_of
from tests.bench.stages import REST, STAGES
from tests.builders import write_store
from tests.conftest import DEMO_DAY, REPOSITORY
from tests.inventories import varied_vehicles

Report = dict[str, Any]


def run(arguments: argparse.Namespace) -> None:
    """Print the tables."""
    sizes = (arguments.vehicles // 10, arguments.vehicles)
    with tempfile.TemporaryDirectory() as folder:
        stores = [
            write_store(Path(folder) / f"of_{size}", varied_vehicles(size), photo_size=(320, 240)) for size in sizes
        ]
        floors = [libyaml_on_all_cores(store) for store in stores]
        for command in ("check", "build"):
            _print_stages(command, sizes, [_staged(command, store) for store in stores], floors)
            if command == "build":
                _print_again(sizes, stores)
            for store in stores:
                shutil.rmtree(store / ".cache")


def _print_again(sizes: tuple[int, ...], stores: list[Path]) -> None:
    few, many = (f"{size:,}" for size in sizes)
    print(f"\n| built again, processor | {few} | {many} | growth |\n| --- | --- | --- | --- |")
    builds: dict[str, Callable[[Path], float]] = {
        "the floor": floor_of,
        "nothing changed": lambda store: processor_of(lambda: build(store)),
        "one vehicle changed": lambda store: processor_of(lambda: build_with_one_changed(store)),
        "every published file named anew, and the names taken away": lambda store: processor_of(
            lambda: name_anew(store)
        ),
    }
    for store in stores:
        build(store)  # on the day that it is, whose note the next one finds
    for words, act in builds.items():
        took = [act(store) for store in stores]
        print(f"| {words} | {took[0]:.1f} s | {took[1]:.1f} s | {took[1] / took[0]:.1f} |", flush=True)


def _staged(command: str, store: Path) -> Report:
    report = store.parent / "report.json"
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.stages", report, command, store],
        cwd=REPOSITORY,
        env={**os.environ, "SOURCE_DATE_EPOCH": DEMO_DAY},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    told: Report = json.loads(report.read_text())
    return told


def _print_stages(command: str, sizes: tuple[int, ...], reports: list[Report], floors: list[float]) -> None:
    few, many = (f"{size:,}" for size in sizes)
    print(f"\n| `{command}` | {few}: clock, processor | {many} | growth |\n| --- | --- | --- | --- |")
    for words, times in _rows(reports):
        told = " | ".join(f"{wall:.1f}, {processor:.1f} s" for wall, processor in times)
        print(f"| {words} | {told} | {times[1][1] / max(times[0][1], 0.01):.1f} |")
    if command == "check":
        whole = [sum(report["wall"].values()) for report in reports]
        told = " | ".join(f"{floor:.1f} s; {took / floor:.1f} x" for floor, took in zip(floors, whole, strict=True))
        print(f"| the floor, and all of it against that | {told} | {floors[1] / floors[0]:.1f} |")
    for words, process in (("the command's own process", "parent"), ("a worker", "worker")):
        print(f"| memory of {words} | " + " | ".join(f"{report[process]:.0f} MB" for report in reports) + " | |")
    sys.stdout.flush()


def _rows(reports: list[Report]) -> Iterator[tuple[str, list[tuple[float, float]]]]:
    for stage in (*STAGES, REST):
        times = [(report["wall"].get(stage, 0.0), report["processor"].get(stage, 0.0)) for report in reports]
        if any(wall for wall, _ in times):
            yield stage, times
    yield "all", [(sum(report["wall"].values()), sum(report["processor"].values())) for report in reports]


def libyaml_on_all_cores(store: Path) -> float:
    """Return the seconds that loading every inspection takes, when each core has a process that has begun before."""
    files = sorted(store.glob("vehicles/*/inspection.yaml"))
    cores = usable_cores()
    with ProcessPoolExecutor(cores) as workers:
        list(workers.map(_load, [files[:1]] * cores))
        start = time.perf_counter()
        list(workers.map(_load, [files[core::cores] for core in range(cores)]))
        return time.perf_counter() - start


def _load(files: list[Path]) -> None:
    for file in files:
        with file.open("rb") as content:
            yaml.load(content, Loader=yaml.CSafeLoader)
