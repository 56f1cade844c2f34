"""A small store that a test may change: two vehicles, with real photos that are quick to make pictures of."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.builders import write_store
from tests.conftest import DEMO_DAY

VEHICLES = ({}, {"stock": "K901", "vin": "00ZWA5H4XJD000102"})
"""K900 is the base vehicle of the builders; K901 differs only in what must differ."""

Edit = Callable[[str, str, str], tuple[int, int]]


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    return write_store(tmp_path / "store", VEHICLES, pages={"about.md": "# About us\n\nWe sell vehicles.\n"})


@pytest.fixture
def edit(store: Path) -> Edit:
    """Replace a text where it first stands in a file of the store; return the line and column of the place."""

    def edit_it(file: str, old: str, new: str) -> tuple[int, int]:
        text = (store / file).read_text("utf-8")
        place = text.index(old)
        (store / file).write_text(text.replace(old, new, 1), "utf-8")
        return text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)

    return edit_it
