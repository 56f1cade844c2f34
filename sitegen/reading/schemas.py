"""The JSON Schemas of a store's files, so that any editor completes and checks them."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator
from itertools import pairwise
from textwrap import dedent
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core.core_schema import ModelSchema

from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.records.base import Record
from sitegen.records.store import PriceList, SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder

DIALECT = "https://json-schema.org/draft/2020-12/schema"
RECORDS: dict[str, type[Record]] = {"inspection": VehicleRecord, "site": SiteSettings, "services": PriceList}


def schemas() -> dict[str, dict[str, Any]]:
    """Return the JSON Schema (draft 2020-12) of each file of a store, by the file's name without its ending."""
    described = {
        name: {
            "$schema": DIALECT,
            **record.model_json_schema(mode="validation", schema_generator=_Described),
            "title": f"{name}.yaml",
        }
        for name, record in RECORDS.items()
    }
    kind = described["inspection"]["$defs"]["Defect"]["properties"]["kind"]
    kind["enum"] = list(read_vocabulary(content_folder()).defect_kinds)
    return described


class _Described(GenerateJsonSchema):
    """Describes each key by the docstring that stands below it.

    pydantic could read them too, but it does so whenever a record type is loaded: a fifth of the time that a command
    takes to begin.
    """

    def model_schema(self, schema: ModelSchema) -> JsonSchemaValue:
        """Return the schema of a record type."""
        found = super().model_schema(schema)
        for base in reversed(schema["cls"].__mro__):
            for name, words in _docstrings(base) if issubclass(base, Record) else ():
                found["properties"][name]["description"] = words
        return found


def _docstrings(record: type[Record]) -> Iterator[tuple[str, str]]:
    """Yield the keys that a type names itself, each with the docstring below it."""
    (written,) = ast.parse(dedent(inspect.getsource(record))).body
    assert isinstance(written, ast.ClassDef)
    for key, below in pairwise(written.body):
        match key, below:
            case ast.AnnAssign(target=ast.Name(name)), ast.Expr(ast.Constant(str(words))):
                yield name, inspect.cleandoc(words)
