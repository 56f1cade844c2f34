"""A short valid inspection as text, and helpers that write it into a store, for tests of lines and columns."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import yaml

TODAY = date(2026, 11, 25)
MISTAKES = Path(__file__).parent.parent / "data"

INSPECTION = """\
stock: K900
status: for sale
price: 13450
vin: 00ZWA5H48JD000101
vehicle: {year: 2018, make: Brevik, model: Fjordline, body: suv, drive: awd, fuel: gasoline}
odometer: {reading: "64,000 mi", read_on: 2026-10-04}
sale_terms: as is
inspection: {done_on: 2026-10-04}
"""

SITE = """\
name: Ferrow Lane Used Vehicles
address: [14 Ferrow Lane, Quillmarsh]
phone: +1 202 555 0142
base_address: https://www.ferrow-lane.example/
currency: USD
languages: [en]
time_zone: America/Chicago
region: us
demo: true
format: 2
"""


def mistakes(name: str) -> list[dict[str, Any]]:
    """Return the table of mistakes from tests/data."""
    return list(yaml.safe_load((MISTAKES / f"{name}.yaml").read_text("utf-8")))


def with_lines(base: str, written: str, in_place_of: str | None = None) -> str:
    """Return `base` with the sections in `written` replacing those with the same key, or appended.

    `in_place_of` names the section to replace if the key itself is misspelled.
    """
    for section in sections(written):
        key = in_place_of or section.split(":")[0]
        old = [part for part in sections(base) if part.split(":")[0] == key]
        base = base.replace(old[0], section) if old else base + section
    return base


def sections(text: str) -> list[str]:
    """Return a text split before each line that is not indented."""
    parts: list[str] = []
    for line in text.splitlines():
        if line.startswith(" "):
            parts[-1] += f"{line}\n"
        else:
            parts.append(f"{line}\n")
    return parts


def write_one(folder: Path, inspection: str, site: str = SITE, photos: Sequence[str] = ()) -> Path:
    """Write a store with one vehicle, K900, and return the vehicle's folder."""
    vehicle = folder / "vehicles" / "K900"
    (vehicle / "photos").mkdir(parents=True)
    (vehicle / "inspection.yaml").write_text(inspection, "utf-8")
    (folder / "site.yaml").write_text(site, "utf-8")
    for photo in photos:
        (vehicle / "photos" / photo).write_bytes(b"to be opened by others")
    return vehicle
