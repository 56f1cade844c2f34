"""`record.json`: the disclosed facts of a vehicle as canonical JSON, and the fingerprint that its sheets carry.

Anyone can take the fingerprint again: it is the SHA-256 (FIPS 180-4) of the file as it is. The file is written by
RFC 8785, so that the same facts are the same bytes, whoever writes them and in whatever order.
"""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import rfc8785

from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

_PHOTO_KEPT_BACK = {"__all__": {"file": True, "cover": True}}
KEPT_BACK: dict[str, Any] = {
    "location": True,
    "photos": _PHOTO_KEPT_BACK,
    "defects": {"__all__": {"photos": _PHOTO_KEPT_BACK}},
    "walk_around": {"file": True, "captions": True, "chapters": True, "poster": True},
}
"""What stays with the store: where the vehicle stands, what its files are called, what was covered in photos."""


MAY_BE_NONE = ("additions", "before_delivery", "defects", "work_done")
"""Lists of which a record may say that there is nothing to list."""


def disclosed(record: VehicleRecord, settings: SiteSettings) -> dict[str, Any]:
    """Return the facts that the pages show, or that what they show rests on, as plain JSON values.

    A quantity is the text of the record, its unit in it: `"7/32 in"`. Plain texts are in `language`, the price is in
    `currency`. What is left out was not measured, not checked or not recorded, as in the record itself; so a key that
    records may have one day changes no fingerprint of today.
    """
    facts = record.model_dump(mode="json", exclude=KEPT_BACK, exclude_defaults=True)
    if record.status is Status.SOLD:
        # As on the page: what is sold has no price any more.
        facts.pop("price", None)
    # That there is none of something is a disclosure too, where the record says so: an empty list is not silence.
    said_none: dict[str, Any] = {key: [] for key in MAY_BE_NONE if record.speaks_of(key)}
    return {"language": settings.first_language, "currency": settings.currency, **said_none, **facts}


def canonical(record: VehicleRecord, settings: SiteSettings) -> bytes:
    """Return the bytes of `record.json`. Source: RFC 8785 (JSON Canonicalization Scheme)."""
    return rfc8785.dumps(disclosed(record, settings))


def fingerprint(record: VehicleRecord, settings: SiteSettings) -> str:
    """Return the SHA-256 of `record.json`, as 64 hexadecimal digits."""
    return sha256(canonical(record, settings)).hexdigest()
