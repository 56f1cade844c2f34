"""A small store that a test may change: two vehicles, with real photos that are quick to make pictures of."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests.builders import A_SECOND_VEHICLE, write_store
from tests.conftest import DEMO_DAY, run_sitegen

VEHICLES: tuple[Mapping[str, object], ...] = ({}, A_SECOND_VEHICLE)
"""K900 is the base vehicle of the builders; K901 differs only in what no two vehicles share."""

Edit = Callable[[str, str, str], tuple[int, int]]


@pytest.fixture(scope="session")
def built_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The store after a build: its pictures are made. To be read only."""
    folder = tmp_path_factory.mktemp("small")
    store = write_store(folder / "store", VEHICLES, pages={"about.md": "# About us\n\nWe sell vehicles.\n"})
    built = run_sitegen("build", store)
    assert built.returncode == 0, built.stderr
    return store


@pytest.fixture
def store(built_store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the store that has its pictures, but nothing published."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    return shutil.copytree(
        built_store, tmp_path / "store", ignore=shutil.ignore_patterns("published", "ledger.jsonl", "revisions")
    )


@pytest.fixture
def new_store(store: Path) -> Path:
    """A store that was never built."""
    shutil.rmtree(store / ".cache")
    return store


@pytest.fixture
def edit(store: Path) -> Edit:
    """Replace a text where it first stands in a file of the store; return the line and column of the place."""

    def edit_it(file: str, old: str, new: str) -> tuple[int, int]:
        text = (store / file).read_text("utf-8")
        place = text.index(old)
        (store / file).write_text(text.replace(old, new, 1), "utf-8")
        return text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)

    return edit_it
