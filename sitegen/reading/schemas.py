"""Generate the JSON Schemas of a store's files, with which editors complete and check them."""

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
from sitegen.records.money.prices import PriceList
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder

DIALECT = "https://json-schema.org/draft/2020-12/schema"
RECORDS: dict[str, type[Record]] = {"inspection": VehicleRecord, "site": SiteSettings, "services": PriceList}


def schemas() -> dict[str, dict[str, Any]]:
    """Return the JSON Schema (draft 2020-12) of each of a store's files, by file name without its ending."""
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
    """A schema generator that takes each field's description from the docstring below the field.

    Pydantic can do this too, but only when it loads a record type, which takes a fifth of a command's start-up time.
    """

    def model_schema(self, schema: ModelSchema) -> JsonSchemaValue:
        """Return the schema of a record type, with descriptions."""
        record_schema = super().model_schema(schema)
        for base in reversed(schema["cls"].__mro__):
            for name, words in _docstrings(base) if issubclass(base, Record) else ():
                key = schema["cls"].model_fields[name].alias or name
                property_schema = record_schema["properties"][key]
                if "description" in property_schema:  # it says how the value is written
                    property_schema["$comment"] = property_schema["description"]
                property_schema["description"] = words
        return record_schema


def _docstrings(record: type[Record]) -> Iterator[tuple[str, str]]:
    """Yield the name and the docstring of each documented field that the type itself defines."""
    (written,) = ast.parse(dedent(inspect.getsource(record))).body
    assert isinstance(written, ast.ClassDef)
    for key, below in pairwise(written.body):
        match key, below:
            case ast.AnnAssign(target=ast.Name(name)), ast.Expr(ast.Constant(str(words))):
                yield name, inspect.cleandoc(words)
