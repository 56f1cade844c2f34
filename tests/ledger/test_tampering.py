"""Any altered, removed, moved or truncated part of the ledger is found and named. Sources: FIPS 180-4, RFC 8785."""

from __future__ import annotations

import shutil
from collections import Counter
from pathlib import Path

import pytest

from sitegen.ledger.verifying import ledger_errors
from tests.ledger.conftest import change, publish_on
from tests.ledger.tampering import tamper

TAMPERINGS = 1_000


def test_every_tampering_is_found_and_named(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(
        published_thrice, tmp_path / "store", ignore=shutil.ignore_patterns("published", ".cache")
    )
    assert list(ledger_errors(store)) == []
    kept = {path.suffix for path in (store / "revisions").rglob("*") if path.is_file()}
    assert kept == {".json", ".html", ".jpg", ""}
    results = list(tamper(store, TAMPERINGS, seed=20261126))
    assert [kind for kind, is_named in results if not is_named] == []
    assert len(results) == TAMPERINGS
    assert min(Counter(kind for kind, _ in results).values()) > TAMPERINGS / 30
    assert list(ledger_errors(store)) == []


def test_revisions_that_no_line_names_are_reported(published_thrice: Path, tmp_path: Path):
    """To hide a truncated ledger with a rewritten head, one must also delete the revisions that it named."""
    store = shutil.copytree(
        published_thrice, tmp_path / "store", ignore=shutil.ignore_patterns("published", ".cache")
    )
    lines = (store / "ledger.jsonl").read_bytes().splitlines(keepends=True)
    (store / "ledger.jsonl").write_bytes(b"".join(lines[:3]))
    shutil.rmtree(store / "revisions" / "head", ignore_errors=True)
    (store / "revisions" / "head").unlink(missing_ok=True)
    places = [place for place, _ in ledger_errors(store)]
    assert "revisions/K900/2/record.json" in places
    assert "revisions/head" in places


@pytest.mark.parametrize("left", [0, 1, 200])
def test_the_next_build_removes_an_incomplete_last_line(published_thrice: Path, tmp_path: Path, left: int):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    whole = (store / "ledger.jsonl").read_bytes()
    with (store / "ledger.jsonl").open("ab") as file:
        file.write(b'{"addresses":[],"before":"0123'[:left])
    change(store, "K900", "price: 12900", "price: 12800")
    publish_on("2026-11-03", store)
    assert list(ledger_errors(store)) == []
    assert (store / "ledger.jsonl").read_bytes().startswith(whole)
