"""Each kind of mistake in a vehicle's file is reported at its line and column, with agreed words.

Lines and columns count from 1, as in editors. Places are also verified in the text itself.
"""

from __future__ import annotations

import re

import pytest

from sitegen.reading.store import read_store
from sitegen.reading.validation.record_files import read_record
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.problems import Severity
from sitegen.records.vehicle_record import VehicleRecord
from tests.reading.texts import INSPECTION, SITE, TODAY, mistakes, with_lines, write_one


def cases(name: str) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("case", [pytest.param(case, id=case["mistake"]) for case in mistakes(name)])


def test_the_file_that_mistakes_are_put_into_is_valid(tmp_path):
    write_one(tmp_path, INSPECTION)
    store, problems = read_store(tmp_path, TODAY)
    assert problems == ()
    assert store.vehicles[0].record.odometer.reading.miles == 64_000


@cases("mistakes_in_values")
def test_a_mistake_in_a_value_is_reported(tmp_path, case):
    file = tmp_path / "inspection.yaml"
    file.write_text(with_lines(INSPECTION, case["write"], case.get("in_place_of")), "utf-8")
    record, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    assert [problem.as_line() for problem in problems] == case["told"]
    assert record is None


@cases("mistakes_in_values")
def test_the_reported_value_is_at_the_reported_place(tmp_path, case):
    """Independent of the parser: the text is cut at the reported place and must begin with the reported value."""
    file = tmp_path / "inspection.yaml"
    text = with_lines(INSPECTION, case["write"], case.get("in_place_of"))
    file.write_text(text, "utf-8")
    _, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    found = {
        (problem.line, problem.column): re.sub('the key|[".]', "", problem.found).split()[0]
        for problem in problems
        if problem.found not in ("nothing", "a list", "an empty list", "an empty text", "a group of keys")
    }
    lines = text.splitlines()
    elsewhere = {
        place: word
        for place, word in found.items()
        if word in case["write"] and not lines[place[0] - 1][place[1] - 1 :].lstrip("\"'").startswith(word)
    }
    assert elsewhere == {}


@cases("mistakes_of_form")
def test_a_syntax_error_is_reported(tmp_path, case):
    """YAML 1.2 allows anchors and tags; this reader rejects them."""
    file = tmp_path / "inspection.yaml"
    file.write_text(case["write"], "utf-8")
    record, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    told = [problem.as_line() for problem in problems]
    assert [line for line in case["told"] if line not in told] == []
    assert record is None


@cases("mistakes_between_values")
def test_contradicting_values_are_reported(tmp_path, case):
    site = SITE.replace("region: us", f"region: {case.get('region', 'us')}")
    inspection = with_lines(INSPECTION, case["write"])
    if "leave_out" in case:
        inspection = "".join(line for line in inspection.splitlines(True) if not line.startswith(case["leave_out"]))
    vehicle = write_one(tmp_path, inspection, site, case.get("photos", ()))
    for link in case.get("links", ()):
        (vehicle / "photos" / link).symlink_to(tmp_path / "site.yaml")
    store, problems = read_store(tmp_path, TODAY)
    assert [problem.as_line() for problem in problems] == case["told"]
    assert (store is None) == any(problem.severity is Severity.ERROR for problem in problems)


def test_a_valid_text_has_no_syntax_problem():
    assert read_tree(INSPECTION, "inspection.yaml")[1] == []
