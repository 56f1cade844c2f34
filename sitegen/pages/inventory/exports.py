"""Export the vehicles for sale: schema.org JSON for programs, and CSV for spreadsheets."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Any

from sitegen.pages.frame.addresses import vehicle_page
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.inventory.card import Listing
from sitegen.pages.inventory.figures import Upkeep
from sitegen.pages.vehicle.identity import vehicle_name
from sitegen.pages.vehicle.shared import json_ld
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.disclosure import Affects
from sitegen.records.vehicle import NoBrand
from sitegen.records.vehicle_record import VehicleRecord

UPKEEP = (
    *("due", "due_low", "due_high", "no_record", "no_record_low", "no_record_high", "total", "total_low"),
    "total_high",
)
UPKEEP_COLUMNS = tuple(f"first_year_{name}" for name in UPKEEP)


def inventory_json(listings: Sequence[Listing], pictures: Pictures, around: Surroundings) -> bytes:
    """Return a schema.org `ItemList` of `Car`s, in the order of the index; positions count from 1."""
    items = [
        {"@type": "ListItem", "position": position, "item": _car(item, pictures, around)}
        for position, item in enumerate(listings, start=1)
    ]
    whole = {
        "@type": "ItemList",
        "name": around.translator.say("inventory.heading"),
        "numberOfItems": len(items),
        "itemListElement": items,
    }
    return json_ld.as_json(whole).encode()


def inventory_csv(listings: Sequence[Listing], around: Surroundings) -> bytes:
    """Return a CSV table with a header line, in UTF-8, with CRLF line endings. Source: RFC 4180.

    An empty field means not measured, not recorded or not priced. A text that a spreadsheet would run as a formula is
    prefixed with an apostrophe (OWASP, CSV Injection; CWE-1236).
    """
    written = io.StringIO(newline="")
    table = csv.writer(written, lineterminator="\r\n")
    table.writerow(columns(around))
    table.writerows(map(_harmless, _row(item, around).values()) for item in listings)
    return written.getvalue().encode()


def _harmless(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r")) else value


def columns(around: Surroundings) -> tuple[str, ...]:
    """Return the column names of the table. A column with a unit names it."""
    distance = "mi" if around.translator.formats.distance_in_miles else "km"
    tread = "32nds_in" if around.translator.formats.tread_in_thirty_seconds else "mm"
    return (
        *("stock", "status", "listed_on", "name", "year", "make", "model", "trim", "body", "drive", "fuel", "vin"),
        *("title_brand", "open_recalls", "price", "currency", f"odometer_{distance}", "odometer_statement"),
        *(f"a_year_{distance}", f"lowest_tread_{tread}"),
        *("thinnest_lining_mm", "defects_looks", "defects_function", "defects_safety", "defects_put_right"),
        "what_stands",
        *(
            *UPKEEP_COLUMNS,
            "not_priced",
            "in_all_first_year",
            "in_all_three_years",
            "important_points_not_checked",
            "location",
            "address",
        ),
    )


def _car(item: Listing, pictures: Pictures, around: Surroundings) -> dict[str, Any]:
    here = around.at(item.record.location)
    at = vehicle_page(item.record.stock, around.language_folder)
    car = json_ld.car(item.record, item.damages, pictures, at, here.settings, around.translator)
    upkeep = item.figures.upkeep
    return car if upkeep is None else {**car, "additionalProperty": _first_year(upkeep, here.settings.currency)}


def _first_year(upkeep: Upkeep, currency: str) -> list[dict[str, Any]]:
    """Return the figures of the first year as schema.org `PropertyValue`s, named as the columns of the CSV."""
    return [
        {
            "@type": "PropertyValue",
            "name": f"first_year_{name}",
            "value": getattr(upkeep, name),
            "minValue": getattr(upkeep, f"{name}_low"),
            "maxValue": getattr(upkeep, f"{name}_high"),
            "unitText": currency,
        }
        for name in ("due", "no_record", "total")
    ]


def _title_brand(record: VehicleRecord, around: Surroundings) -> str | None:
    """Return the brand on the title, or `none` if it shows none; None if nobody looked at it."""
    if record.title is None:
        return None
    brand = record.title.brand
    return brand.value if isinstance(brand, NoBrand) else around.translator.text(brand).text


def _open_recalls(record: VehicleRecord) -> int | None:
    """Return the number of open recalls; None if the record does not state it."""
    return len(record.recalls.open) if record.recalls and record.recalls.states("open") else None


def _row(item: Listing, around: Surroundings) -> Mapping[str, object]:
    record, vehicle, figures = item.record, item.record.vehicle, item.figures
    upkeep, standing = figures.upkeep, figures.standing
    address = vehicle_page(record.stock, around.language_folder).canonical(around.settings.base_address)
    values = (
        *(record.stock, record.status, record.listed_on, vehicle_name(record), vehicle.year, vehicle.make),
        *(vehicle.model, vehicle.trim, vehicle.body, vehicle.drive, vehicle.fuel, record.vin),
        *(_title_brand(record, around), _open_recalls(record), record.price, around.settings.currency),
        *(figures.distance, record.odometer.statement, figures.a_year, figures.tread, figures.lining),
        *(standing[affects] for affects in Affects),
        item.put_right,
        item.card.defects,
        *((getattr(upkeep, name) for name in UPKEEP) if upkeep else (None,) * len(UPKEEP)),
        " ".join(upkeep.not_priced) if upkeep else None,
        *(figures.in_all, figures.in_all_three_years),
        *(len(item.unchecked), item.location, address),
    )
    return dict(zip(columns(around), values, strict=True))
