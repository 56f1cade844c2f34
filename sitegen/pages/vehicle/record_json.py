"""`record.json`: the disclosed facts of a vehicle as canonical JSON, and the fingerprint that its sheets carry.

Anyone can take the fingerprint again: it is the SHA-256 (FIPS 180-4) of the file as it is. The file is written by
RFC 8785, so that the same facts are the same bytes, whoever writes them and in whatever order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import rfc8785

from sitegen.photos.planning.pictures import Pictures
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.walk_around import Footage

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


OF_AN_INSPECTION = (
    "odometer", "inspection", "tires", "brakes", "brake_fluid", "coolant", "battery", "traction_battery", "paint",
    "checks", "defects", "services", "work_done",
)  # fmt: skip
"""What is disclosed of an earlier inspection: all that pages rest on, not what the vehicle was offered for."""


@dataclass(frozen=True)
class PublishedDigests:
    """Digests of what is shown of a vehicle: SHA-256 of each file as it is published, in hexadecimal."""

    photos: Mapping[str, str]
    """Of the largest picture of each photo, by the photo's file in the record."""
    video: str | None = None


@dataclass(frozen=True)
class Proof:
    """What a page and its sheets carry, so that it can be shown later what they said."""

    fingerprint: str
    """SHA-256 of `record.json`, as 64 hexadecimal digits."""
    line: str
    """SHA-256 of the ledger's line about this disclosure; until the line is written, `LEDGER_LINE_PLACEHOLDER`."""


LEDGER_LINE_PLACEHOLDER = "0" * 64
"""Stands where the digest of the ledger's line will: the line tells the digest of the page, which comes first."""


def published_digests(record: VehicleRecord, pictures: Pictures, footage: Footage | None) -> PublishedDigests:
    """Return the digests of what is shown of a vehicle."""
    photos = (*record.photos, *(photo for defect in record.defects for photo in defect.photos))
    return PublishedDigests(
        {photo.file: pictures.of(record.stock, photo.file).digest for photo in photos},
        footage.digest if footage else None,
    )


def disclosed_facts(
    record: VehicleRecord, settings: SiteSettings, shown: PublishedDigests | None = None
) -> dict[str, Any]:
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
    if shown:
        _put_digests(facts, record, shown)
    if record.earlier:
        facts["earlier_inspections"] = [_of_earlier(before) for before in record.earlier]
    said_none: dict[str, Any] = {key: [] for key in MAY_BE_NONE if record.states(key)}
    return {"language": settings.first_language, "currency": settings.currency, **said_none, **facts}


def canonical_record(record: VehicleRecord, settings: SiteSettings, shown: PublishedDigests | None = None) -> bytes:
    """Return the bytes of `record.json`. Source: RFC 8785 (JSON Canonicalization Scheme)."""
    return rfc8785.dumps(disclosed_facts(record, settings, shown))


def fingerprint(facts: bytes) -> str:
    """Return the SHA-256 of `record.json`, as 64 hexadecimal digits."""
    return sha256(facts).hexdigest()


def _of_earlier(record: VehicleRecord) -> dict[str, Any]:
    """Return what was found at an earlier inspection; its photos are not shown."""
    kept_back = {"defects": {"__all__": {"photos": True}}}
    facts = record.model_dump(mode="json", include=set(OF_AN_INSPECTION), exclude=kept_back, exclude_defaults=True)
    said_none: dict[str, Any] = {key: [] for key in MAY_BE_NONE if key in OF_AN_INSPECTION and record.states(key)}
    return {**said_none, **facts}


def _put_digests(facts: dict[str, Any], record: VehicleRecord, shown: PublishedDigests) -> None:
    """Put the digest of each photo, and of the video, beside what is said of it."""
    told = facts.get("photos", []), *(defect.get("photos", []) for defect in facts.get("defects", []))
    photos = record.photos, *(defect.photos for defect in record.defects)
    for told_of, photos_of in zip(told, photos, strict=True):
        for one, photo in zip(told_of, photos_of, strict=True):
            one["sha256"] = shown.photos[photo.file]
    if shown.video and "walk_around" in facts:
        facts["walk_around"]["sha256"] = shown.video
