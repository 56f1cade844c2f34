"""The lines that a publication adds, the truncated file and the clock, without building a site. Source: RFC 3339."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from sitegen.ledger.differences.removed_disclosures import removed_disclosures
from sitegen.ledger.ledger_files import add, clock_warnings, read_ledger
from sitegen.ledger.lines import Line
from sitegen.ledger.new_lines import Disclosure, PublicationHistory, lines_to_add
from sitegen.records.problems import Severity

VIN, OTHER_VIN = "00ZWA5H48JD000101", "00ZWA5H4XJD000102"
NOON = "2026-10-06T12:00:00Z"


def disclosed(stock: str, vin: str = VIN, record: str = "a" * 64) -> Disclosure:
    return Disclosure(stock, vin, record, {f"vehicles/{stock}/index.html": "b" * 64})


def published(before: tuple[Line, ...], *disclosures: Disclosure, time: str = NOON) -> tuple[Line, ...]:
    """Return the lines that a publication of these vehicles adds to the ledger."""
    now = {each.stock: json.dumps({"stock": each.stock}).encode() for each in disclosures}
    history = PublicationHistory(before, lambda _: {"stock": "K900"}, now)
    return lines_to_add(history, disclosures, (), time)


def test_a_renumbered_vehicle_is_found_by_its_vin():
    first = published((), disclosed("K900"))
    (moved,) = published(first, disclosed("K950"))
    assert (moved.stock, moved.formerly, moved.vin, moved.revision) == ("K950", "K900", VIN, 2)
    assert moved.changed[0] == "stock number K950, was K900"
    added = published(first, disclosed("K950", OTHER_VIN))
    assert [(line.stock, line.formerly, line.revision, line.record is None) for line in added] == [
        ("K950", None, 1, False),
        ("K900", None, 2, True),
    ]


def test_a_published_vehicle_keeps_its_revisions():
    """One VIN under two numbers is refused elsewhere; here the number that is published keeps its own revisions."""
    first = published((), disclosed("K900"))
    added = published(first, disclosed("K900"), disclosed("K950"))
    assert [(line.stock, line.formerly, line.revision) for line in added] == [("K950", None, 1)]


def test_a_vehicle_that_is_left_out_of_a_build_is_not_withdrawn():
    first = published((), disclosed("K900"))
    left_out = PublicationHistory(first, lambda _: None, {}, left_as_they_are=("K900",))
    assert lines_to_add(left_out, (), (), NOON) == ()
    (withdrawn,) = lines_to_add(replace(left_out, left_as_they_are=()), (), (), NOON)
    assert (withdrawn.stock, withdrawn.record, withdrawn.changed) == ("K900", None, ("no longer published",))


@pytest.mark.parametrize(
    ("time", "is_warned"), [("2026-10-06T11:59:59Z", True), (NOON, False), ("2026-10-07T00:00:00Z", False)]
)
def test_a_line_dated_before_the_last_one_is_warned_about_with_both_times(time: str, is_warned: bool):
    first = published((), disclosed("K900"))
    added = published(first, disclosed("K900", record="c" * 64), time=time)
    warnings = clock_warnings(first, added)
    assert bool(warnings) is is_warned
    for warning in warnings:
        assert (warning.severity, warning.line) == (Severity.WARNING, 2)
        assert time in warning.found
        assert NOON in warning.found
    assert clock_warnings((), added) == clock_warnings(first, ()) == ()


@pytest.mark.parametrize("half", [b"", b"{", b'{"addresses":[],"before":"0123'])
def test_an_incomplete_last_line_is_ignored_and_removed_by_the_next_build(tmp_path: Path, half: bytes):
    first = published((), replace(disclosed("K900"), pages={}))
    pages: Mapping[str, bytes] = {}
    add(tmp_path, first, {"K900": b"{}"}, pages, {})
    ledger = tmp_path / "ledger.jsonl"
    whole = ledger.read_bytes()
    ledger.write_bytes(whole + half)
    assert read_ledger(tmp_path) == (first, ())
    second = published(first, replace(disclosed("K900", record="c" * 64), pages={}))
    add(tmp_path, second, {"K900": b"{}"}, pages, {})
    assert ledger.read_bytes() == whole + second[0].text + b"\n"
    assert read_ledger(tmp_path) == ((*first, *second), ())


def test_a_ledger_without_its_last_lines_is_reported(tmp_path: Path):
    """Its end can be cut off without a trace in the lines that are left, but not in the note of the last digest."""
    first = published((), replace(disclosed("K900"), pages={}))
    second = published(first, replace(disclosed("K900", record="c" * 64), pages={}))
    add(tmp_path, (*first, *second), {"K900": b"{}"}, {}, {})
    ledger = tmp_path / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().splitlines(keepends=True)[0])
    lines, (problem,) = read_ledger(tmp_path)
    assert lines == first
    assert "revisions/head" in problem.found


@pytest.mark.parametrize(
    ("was", "now", "is_lost"), [("640 CCA", "500 CCA", True), ("500 CCA", "640 CCA", False), ("500 CCA", None, True)]
)
def test_a_lower_battery_rating_counts_as_an_improvement(was: str, now: str | None, is_lost: bool):
    """480 CCA are 75 % of 640 and 96 % of 500: another rating improves the figure without another test."""
    rated = {} if now is None else {"rated": now}
    old, new = {"battery": {"tested": "480 CCA", "rated": was}}, {"battery": {"tested": "480 CCA", **rated}}
    assert [loss.about for loss in removed_disclosures(old, new)] == ["battery"] * is_lost
    explained = {**new, "history": [{"on": "2026-10-10", "what": "The label says so.", "about": ["battery"]}]}
    assert removed_disclosures(old, explained) == ()
