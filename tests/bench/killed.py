"""Bench `killed`: kill a build at random instants, and check that the published site is complete, old or new."""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

from tests.builders import A_SECOND_VEHICLE, write_store
from tests.conftest import DEMO_DAY, REPOSITORY

STORE: tuple[Mapping[str, object], ...] = ({}, A_SECOND_VEHICLE)


def run(arguments: argparse.Namespace) -> None:
    """Print how many were old and new by then; raise SystemExit where one was neither, or a next build not good."""
    dice, seen = random.Random(arguments.seed), Counter[str]()
    with tempfile.TemporaryDirectory() as place:
        old, new, tried = (Path(place) / name for name in ("old", "new", "tried"))
        write_store(old, STORE)
        build(old).wait()
        shutil.copytree(old, new)
        change(new)
        began = time.monotonic()
        build(new).wait()
        takes = time.monotonic() - began
        sites = {"old": published(old), "new": published(new)}
        assert sites["old"] != sites["new"]
        for _ in range(arguments.kills):
            shutil.copytree(old, tried)
            change(tried)
            building = build(tried)
            time.sleep(dice.uniform(0, takes))
            building.kill()  # SIGKILL
            building.wait()
            found = published(tried)
            seen[next((name for name, site in sites.items() if site == found), "neither")] += 1
            seen["good afterwards"] += build(tried).wait() == 0 and published(tried) == sites["new"]
            shutil.rmtree(tried)
    print("| killed | the old site | the new site | neither | the next build good |")
    print("| --- | --- | --- | --- | --- |")
    told = " | ".join(str(seen[name]) for name in ("old", "new", "neither", "good afterwards"))
    print(f"| {arguments.kills} | {told} |")
    if seen["neither"] or seen["good afterwards"] < arguments.kills:
        raise SystemExit(1)


def change(store: Path) -> None:
    """Change what both vehicles' pages say."""
    for file in store.glob("vehicles/*/inspection.yaml"):
        file.write_text(f"{file.read_text('utf-8').rstrip()}\nnotes: Looked at again.\n", "utf-8")


def build(store: Path) -> subprocess.Popen[bytes]:
    """Begin a build of a store, with a clock that stands."""
    return subprocess.Popen(
        [sys.executable, "-m", "sitegen", "build", str(store), "--jobs", "1"],
        cwd=REPOSITORY,
        env={**os.environ, "SOURCE_DATE_EPOCH": DEMO_DAY},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def published(store: Path) -> dict[str, bytes]:
    """Return every published file, by path."""
    folder = store / "published"
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
