"""The JSON Schemas of a store's files, so that any editor completes and checks them."""

from __future__ import annotations

from typing import Any

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
        name: {"$schema": DIALECT, **record.model_json_schema(mode="validation"), "title": f"{name}.yaml"}
        for name, record in RECORDS.items()
    }
    kind = described["inspection"]["$defs"]["Defect"]["properties"]["kind"]
    kind["enum"] = list(read_vocabulary(content_folder()).defect_kinds)
    return described
