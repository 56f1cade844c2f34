"""Find conflicts with existing vehicles: stock numbers and VINs are unique in a store."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.vehicle_record import VehicleRecord


class ExistingVehicles:
    """The stock numbers and VINs in a store, including those of vehicles added together."""

    def __init__(self, vehicles: Path, vins: Collection[str]) -> None:
        """Read all folder names in `vehicles`, and find the vehicles that have one of these VINs."""
        folders = sorted(folder for folder in vehicles.iterdir() if not folder.name.startswith("."))
        self._names = {folder.name.casefold(): folder.name for folder in folders}
        self._holders: dict[str, str] = {}
        for folder in folders:
            vin = _vin_of(folder / INSPECTION, vins)
            if vin is not None:
                self._holders.setdefault(vin, folder.name)

    def add(self, stock: str, vin: str) -> None:
        """Add a vehicle that is being added now. Either value may be empty."""
        if stock:
            self._names.setdefault(stock.casefold(), stock)
        if vin:
            self._holders.setdefault(vin, stock)

    def stock_conflict(self, stock: str) -> str | None:
        """Return why this stock number cannot be used, or None. Case is ignored, as some file systems ignore it."""
        name = self._names.get(stock.casefold())
        return None if name is None else f"there is a vehicle {name} already; nothing of it was changed"

    def vin_conflict(self, vin: str) -> str | None:
        """Return why this VIN cannot be used, or None."""
        holder = self._holders.get(vin)
        return None if holder is None else f"the VIN {vin} is that of {holder} already; nothing of it was changed"


def _vin_of(inspection: Path, vins: Collection[str]) -> str | None:
    """Return the VIN of a record if it is one of these, else None.

    The record is parsed only if its text contains one.
    """
    try:
        text = inspection.read_text("utf-8", errors="replace")
    except OSError:
        return None
    if not any(vin in text for vin in vins if vin):
        return None
    record = read_file(VehicleRecord, inspection, INSPECTION).sound_part
    return record.vin if record is not None and record.vin in vins else None
