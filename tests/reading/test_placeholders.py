"""Examples written by `sitegen start` are never published by a store that is not a demo."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from sitegen.commands import main
from sitegen.reading.store import read_store
from sitegen.records.problems import Severity
from tests.builders import write_store

TODAY = date(2026, 11, 30)
REAL = {"demo": False, "base_address": "https://www.ferrow-lane.net/", "phone": "+44 1632 960001"}
"""Settings that are no example. The number is one that Ofcom, the regulator of the UK, keeps for drama."""


def _error_paths(store: Path) -> list[str]:
    return [f"{one.file} {one.where}" for one in read_store(store, TODAY)[1] if one.severity is Severity.ERROR]


def test_a_new_store_has_no_errors_until_it_says_that_it_is_real(tmp_path: Path):
    assert main(["start", str(tmp_path / "new")]) == 0
    store = tmp_path / "new"
    assert _error_paths(store) == []
    settings = store / "site.yaml"
    lines = settings.read_text("utf-8").splitlines(keepends=True)
    settings.write_text("".join(line for line in lines if not line.startswith("demo:")), "utf-8")
    assert _error_paths(store) == [
        "pages/about.md ",
        "pages/es/about.md ",
        "site.yaml name",
        "site.yaml address[1]",
        "site.yaml address[2]",
        "site.yaml phone",
        "site.yaml base_address",
    ]


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({}, []),
        ({"phone": "+1 202 555 0142"}, ["site.yaml phone"]),
        ({"phone": "+1 202 555 2142"}, []),
        ({"text_messages": "+1 (202) 555-0199"}, ["site.yaml text_messages"]),
        ({"email": "sales@store.example"}, ["site.yaml email"]),
        ({"base_address": "https://example.org/cars/"}, ["site.yaml base_address"]),
        ({"base_address": "https://examples.org/"}, []),
        (
            {"locations": [{"name": "North", "address": ["1 Lane"], "phone": "+1 202 555 0100"}]},
            ["site.yaml locations[1].phone"],
        ),
    ],
)
def test_reserved_names_and_fictional_numbers_are_errors_in_a_real_store(
    changed: dict[str, object], where: list[str], tmp_path: Path
):
    store = write_store(tmp_path / "store", settings={**REAL, **changed})
    assert _error_paths(store) == where
