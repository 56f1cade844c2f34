"""Types of unquoted values by the core schema of YAML 1.2 (chapter 10.3), unlike YAML 1.1."""

from __future__ import annotations

import pytest

from sitegen.reading.validation.record_files import read_record
from sitegen.reading.yaml.tree import plain_value
from sitegen.reading.yaml.yaml_tree import read_tree
from sitegen.records.vehicle_record import VehicleRecord
from tests.reading.texts import INSPECTION, with_lines


@pytest.mark.parametrize(
    ("written", "value"),
    [
        # Numbers, truth and nothing: YAML 1.2, example 10.3
        ("2016", 2016),
        ("-5", -5),
        ("0", 0),
        ("0.5", 0.5),
        (".5", 0.5),
        ("true", True),
        ("false", False),
        ("null", None),
        ("~", None),
        ("", None),
        # YAML 1.1 takes each of these for something else: a truth, minutes, an octal or other number, a day
        ("no", "no"),
        ("on", "on"),
        ("Yes", "Yes"),
        ("1:30", "1:30"),
        ("012", "012"),
        ("0x1F", "0x1F"),
        ("0o17", "0o17"),
        ("1_000", "1_000"),
        ("2026-10-04", "2026-10-04"),
        ("1e3", "1e3"),
        (".inf", ".inf"),
        ("=", "="),
        # A VIN of digits only: as a number it would lose a leading zero, or its last digits in JavaScript
        ("11111111111111111", "11111111111111111"),
        ("00111111111111111", "00111111111111111"),
        ('"2016"', "2016"),
        ("'true'", "true"),
    ],
)
def test_values_follow_the_core_schema(written, value):
    tree, problems = read_tree(f"key: {written}\n", "any.yaml")
    assert problems == []
    read = plain_value(tree)["key"]
    assert (read, type(read)) == (value, type(value))


@pytest.mark.parametrize(
    ("written", "path", "value"),
    [
        ("tires: {left_front: {date_code: 3523}}", ("tires", "left_front", "date_code"), "3523"),
        ('tires: {left_front: {date_code: "0923"}}', ("tires", "left_front", "date_code"), "0923"),
        ("tires: {left_front: {date_code: 0923}}", ("tires", "left_front", "date_code"), "0923"),
        ("location: 12", ("location",), "12"),
        ("location: 12.50", ("location",), "12.50"),
        ("location: true", ("location",), "true"),
        ("brake_fluid: {note: 2.0}", ("brake_fluid", "note"), "2.0"),
        ("title: {brand: no, checked_on: 2026-10-01}", ("title", "brand"), "no"),
    ],
)
def test_a_number_where_text_belongs_keeps_its_written_form(tmp_path, written, path, value):
    file = tmp_path / "inspection.yaml"
    file.write_text(with_lines(INSPECTION, written), "utf-8")
    record, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    assert problems == []
    for step in path:
        record = getattr(record, step)
    assert getattr(record, "versions", {"": record})[""] == value


def test_on_is_a_key_and_not_true(tmp_path):
    """YAML 1.1 reads the key `on:` as true; work and history use it for a day."""
    file = tmp_path / "inspection.yaml"
    file.write_text(INSPECTION + "history:\n  - {on: 2026-10-18, what: Mended a date.}\n", "utf-8")
    record, _, problems = read_record(VehicleRecord, file, "inspection.yaml")
    assert problems == []
    assert record.history[0].on.isoformat() == "2026-10-18"


def test_every_key_and_value_has_its_position(tmp_path):
    file = tmp_path / "inspection.yaml"
    file.write_text(INSPECTION + "services:\n  - service: engine_oil\n    at: 60,000 mi\n", "utf-8")
    _, marks, _ = read_record(VehicleRecord, file, "inspection.yaml")
    at, read_on = ("services", 0, "at"), ("odometer", "read_on")
    assert [(place.line, place.column) for place in (marks.key_place(at), marks.value_place(at))] == [
        (11, 5),
        (11, 9),
    ]
    assert [(place.line, place.column) for place in (marks.key_place(read_on), marks.value_place(read_on))] == [
        (6, 34),
        (6, 43),
    ]
