"""Fixtures of the ledger tests: a small store that was published three times, with a change each time."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sitegen.ledger.ledger_files import read_ledger
from tests.builders import A_SECOND_VEHICLE, write_store
from tests.conftest import run_sitegen, serve

FIRST, SECOND, THIRD = "2026-10-06", "2026-10-12", "2026-11-02"


def publish_on(day: str, store: Path) -> str:
    """Build a store at 16:00 UTC on a day, and return its warnings."""
    moment = datetime.fromisoformat(f"{day}T16:00:00").replace(tzinfo=UTC)
    done = run_sitegen("build", store, env={"SOURCE_DATE_EPOCH": str(int(moment.timestamp()))})
    assert done.returncode == 0, done.stderr
    return done.stderr


def change(store: Path, stock: str, old: str, new: str) -> None:
    """Replace a text in a vehicle's record."""
    file = store / "vehicles" / stock / "inspection.yaml"
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def publish_thrice(folder: Path) -> Path:
    """Return a new store in which K900 has three revisions, and K901 was published once and then withdrawn."""
    store = write_store(folder, ({}, A_SECOND_VEHICLE))
    publish_on(FIRST, store)
    change(store, "K900", "6/32 in", "5/32 in")
    publish_on(SECOND, store)
    change(store, "K900", "price: 13450", "price: 12900")
    shutil.rmtree(store / "vehicles" / "K901")
    told = publish_on(THIRD, store)
    assert "vehicles/K901: warning: found no page of K901, which was published on 2026-10-06: for sale" in told
    return store


@pytest.fixture(scope="session")
def published_thrice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The store published three times. Tests must not change it."""
    return publish_thrice(tmp_path_factory.mktemp("kept") / "store")


@pytest.fixture(scope="session")
def changed(published_thrice: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """K900 in its fourth version, in two languages: one defect grew, one was corrected, the vehicle is on hold."""
    store = shutil.copytree(published_thrice, tmp_path_factory.mktemp("kept-links") / "store")
    settings = store / "site.yaml"
    settings.write_text(settings.read_text("utf-8").replace("- en\n", "- en\n- es\n"), "utf-8")
    change(store, "K900", "size: 6 cm", "size: 9 cm")
    change(store, "K900", "tow_wiring: not checked", "tow_wiring: attention")
    change(store, "K900", "status: for sale", "status: on hold")
    change(store, "K900", "vin: ", "history: [{on: 2026-11-03, what: <b>Ours</b> & mended., about: [title]}]\nvin: ")
    publish_on("2026-11-05", store)
    return store


@pytest.fixture(scope="session")
def names(changed: Path) -> dict[int, str]:
    """The version numbers of K900 as they appear in addresses."""
    lines, _ = read_ledger(changed)
    return {
        line.revision: f"{line.revision}.{line.record[:6]}"
        for line in lines
        if line.stock == "K900" and line.revision and line.record
    }


@pytest.fixture(scope="session")
def site(changed: Path) -> Iterator[str]:
    with serve(changed / "published") as address:
        yield address
