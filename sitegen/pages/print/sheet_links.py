"""Links from a vehicle's page to its sheets and its `record.json`."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.pages.frame.addresses import (
    Address,
    disclosure_sheet_page,
    mechanic_sheet_page,
    record_file,
    window_sheet_page,
)
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.vehicle.record_json import Proof
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class SheetLinks:
    """Links from a vehicle's page to its sheets and its `record.json`, and the page's fingerprint."""

    window_sheet: str
    disclosure_sheet: str
    mechanic_sheet: str
    record: str
    proof: Proof


def sheet_links(record: VehicleRecord, proof: Proof, at: Address, around: Surroundings) -> SheetLinks:
    """Return the links from a vehicle's page at an address to its sheets and its `record.json`."""
    folder = around.language_folder
    return SheetLinks(
        window_sheet=at.to(window_sheet_page(record.stock, folder).file),
        disclosure_sheet=at.to(disclosure_sheet_page(record.stock, folder).file),
        mechanic_sheet=at.to(mechanic_sheet_page(record.stock, folder).file),
        record=at.to(record_file(record.stock)),
        proof=proof,
    )
