"""The JSON Schemas accept and reject the same files as the reader, checked with the library `jsonschema`."""

from __future__ import annotations

import json
from functools import cache

import pytest
from jsonschema import Draft202012Validator

from sitegen.reading.schemas import schemas
from sitegen.reading.yaml.tree import plain_value
from sitegen.reading.yaml.yaml_tree import read_tree
from tests.builders import BASE_PRICES, BASE_SETTINGS, an_inspection
from tests.conftest import REPOSITORY
from tests.reading.texts import INSPECTION, mistakes, with_lines

# What a schema cannot say: money to the cent, the range of a text with a unit.
BEYOND_A_SCHEMA = {
    "terms that exclude each other",
    "corners of a card that cross over",
    "a price with a third decimal",
    "a distance beyond any odometer",
    # cut at a comma: what is left still fits
    "a comma that cuts a distance",
    "commas that cut a text",
    "a word without a colon in braces",
    "a group without an end",
}


@cache
def validator(name: str) -> Draft202012Validator:
    """Return a validator for a schema. Cached, because creating one is slow."""
    return Draft202012Validator(schemas()[name], format_checker=Draft202012Validator.FORMAT_CHECKER)


def faults(name: str, content: object) -> list[str]:
    plain = json.loads(json.dumps(content))
    return [fault.json_path for fault in validator(name).iter_errors(plain)]


def read(text: str) -> object:
    return plain_value(read_tree(text, "any.yaml")[0])


@pytest.mark.parametrize("name", ["inspection", "site", "services"])
def test_each_schema_is_valid_and_described(name):
    schema = schemas()[name]
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == f"{name}.yaml"
    assert schema["description"]


@pytest.mark.parametrize("name", ["inspection", "site", "services"])
def test_the_demo_store_fits(name):
    files = sorted((REPOSITORY / "demo_site").rglob(f"{name}.yaml"))
    assert files
    assert {file.parent.name: faults(name, read(file.read_text("utf-8"))) for file in files if file} == {
        file.parent.name: [] for file in files
    }


def test_the_builders_fit():
    assert faults("inspection", an_inspection()) == []
    assert faults("site", BASE_SETTINGS) == []
    assert faults("services", BASE_PRICES) == []


@pytest.mark.parametrize(
    "case",
    [
        pytest.param(case, id=case["mistake"])
        for case in mistakes("mistakes_in_values")
        if case["mistake"] not in BEYOND_A_SCHEMA
    ],
)
def test_the_schemas_reject_what_the_reader_rejects(case):
    assert faults("inspection", read(with_lines(INSPECTION, case["write"], case.get("in_place_of"))))
