"""A store that a test may change: the demo's copy, with its pictures made already."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import DEMO_DAY

Edit = Callable[[str, str, str], tuple[int, int]]


@pytest.fixture
def store(demo_store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    return shutil.copytree(demo_store, tmp_path / "store", ignore=shutil.ignore_patterns("published"))


@pytest.fixture
def edit(store: Path) -> Edit:
    """Replace a text that stands once in a file of the store; return the line and column where it stood."""

    def edit_it(file: str, old: str, new: str) -> tuple[int, int]:
        text = (store / file).read_text("utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        (store / file).write_text(text.replace(old, new), "utf-8")
        before = text[: text.index(old)]
        return before.count("\n") + 1, len(before) - before.rfind("\n")

    return edit_it
