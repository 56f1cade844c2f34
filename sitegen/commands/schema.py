"""`sitegen schema`: the JSON Schemas of a store's files, for editors that complete and check them."""

from __future__ import annotations

import argparse
import json
from typing import Any

from sitegen.commands.terminal import Terminal
from sitegen.records.base import Record
from sitegen.records.inspection import VehicleRecord
from sitegen.records.store import PriceList, SiteSettings

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCHEMAS: dict[str, type[Record]] = {"inspection": VehicleRecord, "site": SiteSettings, "services": PriceList}


def schema(arguments: argparse.Namespace, terminal: Terminal) -> int:
    """Print one schema, or all of them by the name of the file that each describes."""
    if arguments.record:
        answer = schema_of(arguments.record)
    else:
        answer = {f"{name}.yaml": schema_of(name) for name in SCHEMAS}
    terminal.say(json.dumps(answer, ensure_ascii=False, indent=2))
    return 0


def schema_of(name: str) -> dict[str, Any]:
    """Return the JSON Schema of one of the store's files."""
    return {"$schema": DIALECT, "title": f"{name}.yaml", **SCHEMAS[name].model_json_schema(mode="validation")}
