"""Reading arbitrary file contents never raises, and each problem's place lies inside the file."""

from __future__ import annotations

import re

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sitegen.reading.validation.record_files import read_record
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.vehicle_record import VehicleRecord
from tests.reading.texts import INSPECTION

YAML_SIGNS = st.text(st.sampled_from("ab1 0.,:-?[]{}&*!|>'\"%@`#~\n\r\t\\/é"), max_size=60)
LINES = INSPECTION.splitlines(keepends=True)
USUAL = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def places_outside(text: str, problems) -> list[str]:
    lines = re.split("\r\n|\r|\n", text)
    return [
        problem.as_line()
        for problem in problems
        if not (1 <= problem.line <= len(lines) and 1 <= problem.column <= len(lines[problem.line - 1]) + 1)
    ]


@USUAL
@given(st.text(max_size=200) | YAML_SIGNS)
def test_any_text_is_read_or_reported(tmp_path, text):
    file = tmp_path / "inspection.yaml"
    file.write_bytes(text.encode("utf-8", "surrogatepass"))
    record, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    assert record is None
    assert problems
    assert places_outside(text.removeprefix("\ufeff"), problems) == []


@USUAL
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_reported(tmp_path, content):
    file = tmp_path / "inspection.yaml"
    file.write_bytes(content)
    assert read_record(VehicleRecord, file, "inspection.yaml")[2]


@USUAL
@given(st.integers(0, len(LINES) - 1), YAML_SIGNS)
def test_a_valid_file_with_inserted_text_is_read_or_reported(tmp_path, place, text):
    whole = "".join([*LINES[:place], text, *LINES[place:]])
    file = tmp_path / "inspection.yaml"
    file.write_bytes(whole.encode())
    record, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    assert (record is None) == bool(problems)
    assert places_outside(whole, problems) == []


@USUAL
@given(YAML_SIGNS)
def test_reading_twice_gives_equal_results(text):
    assert read_tree(text, "any.yaml") == read_tree(text, "any.yaml")
