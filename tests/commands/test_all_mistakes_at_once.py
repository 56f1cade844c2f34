"""Many common mistakes in one vehicle, its visits, the settings and the prices are all reported in one run."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.builders import write_photo
from tests.conftest import REPOSITORY, run_sitegen

DEMO = REPOSITORY / "demo_site"
SETS: list[dict[str, Any]] = yaml.safe_load(
    (REPOSITORY / "tests" / "data" / "mistakes_at_once.yaml").read_text("utf-8")
)
Place = tuple[str, str]


def store_of(folder: Path, vehicle: str) -> Path:
    """Write a store with one vehicle of the demo, whose photos are replaced by small ones."""
    home = folder / "vehicles" / vehicle
    shutil.copytree(DEMO / "vehicles" / vehicle, home)
    for photo in home.glob("photos/*.jpg"):
        write_photo(photo)
    for name in ("site.yaml", "services.yaml"):
        shutil.copy(DEMO / name, folder / name)
    return folder


def make(store: Path, vehicle: str, mistakes: list[list[str]]) -> None:
    """Write the mistakes into fresh copies of the demo's files."""
    for name in {name for name, _, _ in mistakes} | {"site.yaml", "services.yaml", "inspection.yaml"}:
        source, file = _place(DEMO, vehicle, name), _place(store, vehicle, name)
        text = source.read_text("utf-8")
        for _, right, wrong in (each for each in mistakes if each[0] == name):
            assert text.count(right) == 1 or text.startswith(right), (name, right, text.count(right))
            text = text.replace(right, wrong, 1)
        file.write_text(text, "utf-8")


def _place(store: Path, vehicle: str, name: str) -> Path:
    at_top = name in ("site.yaml", "services.yaml")
    return store / name if at_top else store / "vehicles" / vehicle / name


def errors_of(store: Path) -> set[Place]:
    """Return the file and key of each error that `sitegen check` reports."""
    done = run_sitegen("check", store, "--format", "json")
    problems = json.loads(done.stdout)
    return {(each["file"], each["where"]) for each in problems if each["severity"] == "error"}


def rounds(store: Path, vehicle: str, mistakes: list[list[str]]) -> list[int]:
    """Return how many mistakes each run of `check` shows, when all that are shown are corrected before the next."""
    left, shown = list(mistakes), list[int]()
    alone = {}
    for number, mistake in enumerate(mistakes):
        make(store, vehicle, [mistake])
        alone[number] = errors_of(store)
    numbers = [number for number in alone if alone[number]]
    while numbers:
        make(store, vehicle, [mistakes[number] for number in numbers])
        found = errors_of(store)
        seen = [number for number in numbers if alone[number] & found]
        shown.append(len(seen))
        assert seen, (left, found)
        numbers = [number for number in numbers if number not in seen]
    return shown


@pytest.mark.parametrize("case", SETS, ids=lambda case: case["name"])
def test_all_mistakes_are_reported_in_one_run(tmp_path, case):
    """Oracle: each mistake alone. What it causes must also be reported beside the others, and nothing else."""
    store = store_of(tmp_path / "store", case["vehicle"])
    alone = []
    for mistake in case["mistakes"]:
        make(store, case["vehicle"], [mistake])
        alone.append(errors_of(store))
    assert [mistake for mistake, errors in zip(case["mistakes"], alone, strict=True) if not errors] == []
    make(store, case["vehicle"], case["mistakes"])
    together = errors_of(store)
    missing = [mistake for mistake, errors in zip(case["mistakes"], alone, strict=True) if not errors & together]
    assert missing == []
    assert together - set().union(*alone) == set()
