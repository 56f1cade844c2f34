"""Which stock numbers and VINs a store has already: no two vehicles share either."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION
from sitegen.records.vehicle_record import VehicleRecord


class Taken:
    """What is taken in a store, and by the vehicles that come in together."""

    def __init__(self, vehicles: Path, vins: Collection[str]) -> None:
        """Look through the folder of a store's vehicles, for all names, and for the holders of these VINs."""
        folders = sorted(folder for folder in vehicles.iterdir() if not folder.name.startswith("."))
        self._names = {folder.name.casefold(): folder.name for folder in folders}
        self._holders: dict[str, str] = {}
        for folder in folders:
            vin = _vin_of(folder / INSPECTION, vins)
            if vin is not None:
                self._holders.setdefault(vin, folder.name)

    def add(self, stock: str, vin: str) -> None:
        """Note a vehicle that comes in now, as far as it was said what it is."""
        if stock:
            self._names.setdefault(stock.casefold(), stock)
        if vin:
            self._holders.setdefault(vin, stock)

    def twin_by_stock(self, stock: str) -> str | None:
        """Return why this number cannot be given again. To some disks small letters and capitals are the same."""
        name = self._names.get(stock.casefold())
        return None if name is None else f"there is a vehicle {name} already; nothing of it was changed"

    def twin_by_vin(self, vin: str) -> str | None:
        """Return why this VIN cannot come in again."""
        holder = self._holders.get(vin)
        return None if holder is None else f"the VIN {vin} is that of {holder} already; nothing of it was changed"


def _vin_of(inspection: Path, vins: Collection[str]) -> str | None:
    """Return the VIN of a record if it is one of these. Only a file that holds the text of one is read whole."""
    try:
        text = inspection.read_text("utf-8", errors="replace")
    except OSError:
        return None
    if not any(vin in text for vin in vins if vin):
        return None
    record = read_file(VehicleRecord, inspection, INSPECTION).sound_part
    return record.vin if record is not None and record.vin in vins else None
