"""Ledger lines: recorded changes, revision numbers, and the revision in force on a day."""

from __future__ import annotations

import json
import re
import shutil
from datetime import date
from hashlib import sha256
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import rfc8785
import yaml
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from sitegen.ledger.differences.changes import changes
from sitegen.ledger.ledger_files import read_ledger
from sitegen.ledger.lines import InvalidLineError, Line, parse_line
from sitegen.ledger.revisions import in_force, lines_about, text_of_page
from tests.builders import A_SECOND_VEHICLE, an_inspection
from tests.conftest import run_sitegen
from tests.ledger.conftest import FIRST, SECOND, THIRD, change, publish_on

STORE_ZONE = ZoneInfo("America/Chicago")


def lines_of(store: Path) -> tuple[Line, ...]:
    lines, faults = read_ledger(store)
    assert not faults
    return lines


def test_each_line_is_canonical_and_contains_the_previous_digest(published_thrice: Path):
    """Checked with the rfc8785 library and Python's own SHA-256 (FIPS 180-4)."""
    before = "0" * 64
    for text in (published_thrice / "ledger.jsonl").read_bytes().splitlines():
        told = json.loads(text)
        assert rfc8785.dumps(told) == text
        assert told["before"] == before
        before = sha256(text).hexdigest()
    assert (published_thrice / "revisions" / "head").read_text() == f"{before}\n"


def test_a_line_lists_the_changes(published_thrice: Path):
    told = [(line.stock, line.revision, line.changed) for line in lines_of(published_thrice) if line.stock]
    assert told == [
        ("K900", 1, ("first published",)),
        ("K901", 1, ("first published",)),
        ("K900", 2, ("tires.left_front.tread.inner: 5/32 in, was 6/32 in",)),
        ("K900", 3, ("price: 12900, was 13450",)),
        ("K901", 2, ("no longer published",)),
    ]


def contents(store: Path) -> dict[Path, bytes]:
    files = (path for path in (store / "revisions").rglob("*") if path.is_file())
    return {path: path.read_bytes() for path in (store / "ledger.jsonl", *files)}


def test_an_unchanged_store_adds_no_line_on_any_day(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    before = contents(store)
    publish_on("2027-02-01", store)
    assert contents(store) == before


@pytest.mark.parametrize(
    ("day", "revision"),
    [("2026-10-04", None), (FIRST, 1), ("2026-10-11", 1), (SECOND, 2), (THIRD, 3), ("2030-01-01", 3)]
)  # fmt: skip
def test_the_revision_at_the_end_of_a_day_is_in_force(published_thrice: Path, day: str, revision: int | None):
    line = in_force(lines_about(lines_of(published_thrice), "K900"), date.fromisoformat(day), STORE_ZONE)
    assert (line.revision if line else None) == revision


def test_a_stored_page_equals_the_published_one_except_the_digest(published_thrice: Path):
    line = lines_about(lines_of(published_thrice), "K900")[-1]
    for page in line.pages:
        kept = (published_thrice / "revisions" / "K900" / "3" / page).read_bytes()
        public = (published_thrice / "published" / page).read_bytes()
        assert kept.replace(b"0" * 64, line.digest.encode()) == public
        assert (kept == public) == (b"0" * 64 not in kept)


def test_the_text_of_a_page_is_its_visible_text(published_thrice: Path):
    """Compared with BeautifulSoup: every word of the main part in order, without hidden text."""
    page = (published_thrice / "published" / "vehicles" / "K900" / "index.html").read_text("utf-8")
    main = BeautifulSoup(page, "html.parser").main
    assert main is not None
    for unseen in main(["script", "style", "template", "svg", "dialog", "select"]):
        unseen.decompose()
    assert re.sub(r"\s+", "", text_of_page(page)) == re.sub(r"\s+", "", main.get_text())
    assert "5/32 in" in text_of_page(page)


def test_renumbered_and_returning_vehicles_continue_their_revisions(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    (store / "vehicles" / "K900").rename(store / "vehicles" / "K950")
    change(store, "K950", "stock: K900", "stock: K950\nformerly: [K900]")
    publish_on("2026-11-05", store)
    (renamed,) = [line for line in lines_of(store) if line.stock == "K950"]
    assert (renamed.formerly, renamed.revision) == ("K900", 4)
    assert renamed.changed[0] == "stock number K950, was K900"
    assert [line.revision for line in lines_about(lines_of(store), "K900")] == [1, 2, 3, 4]
    shutil.copytree(published_thrice / "vehicles" / "K900", store / "vehicles" / "K901")
    change(store, "K901", "stock: K900", "stock: K901")
    vin = re.search("vin: (.*)", (store / "vehicles" / "K901" / "inspection.yaml").read_text("utf-8"))
    assert vin
    change(store, "K901", vin[0], "vin: 00ZWA5H4XJD000102")
    held = run_sitegen("check", store)
    assert "found services differs from what was published on 2026-10-06" in held.stderr, "it did come back with less"
    record = store / "vehicles" / "K901" / "inspection.yaml"
    record.write_text(yaml.safe_dump(an_inspection(**A_SECOND_VEHICLE)), "utf-8")
    publish_on("2026-11-06", store)
    assert lines_of(store)[-1].stock == "K901"
    assert lines_of(store)[-1].changed == ("published again",)


@pytest.mark.parametrize("harm", ["a changed line", "a lost ledger", "a cut end"])
def test_a_build_stops_on_an_altered_ledger(published_thrice: Path, tmp_path: Path, harm: str):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    ledger = store / "ledger.jsonl"
    lines = ledger.read_bytes().splitlines(keepends=True)
    match harm:
        case "a changed line":
            ledger.write_bytes(b"".join([lines[0].replace(b"first", b"First"), *lines[1:]]))
        case "a lost ledger":
            ledger.unlink()
        case _:
            ledger.write_bytes(b"".join(lines[:-1]))
    published = (store / "published" / "index.html").stat().st_ino
    for command in ("build", "check"):
        done = run_sitegen(command, store)
        assert done.returncode == 1
        assert "ledger.jsonl" in done.stderr
        assert "put back the ledger that you backed up" in done.stderr
    assert (store / "published" / "index.html").stat().st_ino == published


PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(min_size=1, max_size=3), inner, max_size=3),
    max_leaves=8,
)


@given(
    st.dictionaries(st.text(min_size=1, max_size=3), PLAIN), st.dictionaries(st.text(min_size=1, max_size=3), PLAIN)
)
def test_changes_are_listed_exactly_when_facts_differ(old, new):
    """The order of list items is ignored, because items are matched by name."""
    assert changes(old, old) == ()
    if json.dumps(_without_order(old)) != json.dumps(_without_order(new)):
        assert changes(old, new)


def _without_order(value):
    if isinstance(value, dict):
        return {key: _without_order(value[key]) for key in sorted(value)}
    if isinstance(value, list):
        return sorted((_without_order(each) for each in value), key=json.dumps)
    return value


@given(st.binary(max_size=80) | st.recursive(st.none() | st.text(), st.lists).map(lambda v: json.dumps(v).encode()))
def test_any_other_text_is_rejected_as_a_line(text):
    with pytest.raises(InvalidLineError):
        parse_line(text)
