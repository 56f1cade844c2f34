"""Build `record.json`, the disclosed facts of a vehicle as canonical JSON, and the fingerprint on its sheets.

The fingerprint is the SHA-256 (FIPS 180-4) of the file's bytes, so anyone can verify it. The file is serialized by
RFC 8785, so that equal facts have equal bytes, whatever program wrote them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import rfc8785
from pydantic import TypeAdapter

from sitegen.photos.planning.pictures import Pictures
from sitegen.records.base import LocalizedText
from sitegen.records.film import ShownFilm
from sitegen.records.store import SiteSettings
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import VehicleRecord

_PHOTO_KEPT_BACK = {"__all__": {"file": True, "cover": True}}
_CLIP_KEPT_BACK = {"file": True, "starts": True, "ends": True, "covers": True, "captions": True}
KEPT_BACK: dict[str, Any] = {
    "location": True,
    "photos": _PHOTO_KEPT_BACK,
    "defects": {"__all__": {"photos": _PHOTO_KEPT_BACK}},
    "film": {"clips": {"__all__": _CLIP_KEPT_BACK}, "poster": True},
}
"""Facts that are not published: the vehicle's location, file names, and regions covered in photos."""


_TEXT = TypeAdapter(LocalizedText)
MAY_BE_NONE = ("additions", "before_delivery", "defects", "work_done")
"""The lists that a record may state as `none`."""


OF_AN_INSPECTION = (
    "odometer", "inspection", "tires", "brakes", "brake_fluid", "coolant", "battery", "traction_battery", "paint",
    "checks", "defects", "services", "work_done",
)  # fmt: skip
"""The keys that are published of an earlier state: those that pages use, without price and terms."""


@dataclass(frozen=True)
class PublishedDigests:
    """SHA-256 digests, in hexadecimal, of the published photos and film of a vehicle."""

    photos: Mapping[str, str]
    """The digest of the largest picture of each photo, by the photo's file in the record."""
    video: str | None = None


@dataclass(frozen=True)
class Proof:
    """The digests on a page and its sheets, which later prove what these disclosed."""

    fingerprint: str
    """SHA-256 of `record.json`, as 64 hexadecimal digits."""
    line: str
    """SHA-256 of the ledger's line about this publication; until it is written, LEDGER_LINE_PLACEHOLDER."""


LEDGER_LINE_PLACEHOLDER = "0" * 64
"""Placeholder for the digest of the ledger's line. The line contains the page's digest, so it is known only later."""


def published_digests(record: VehicleRecord, pictures: Pictures, film: ShownFilm | None) -> PublishedDigests:
    """Return the digests of a vehicle's published photos and film."""
    photos = (*record.photos, *(photo for defect in record.defects for photo in defect.photos))
    return PublishedDigests(
        {photo.file: pictures.of(record.stock, photo.file).digest for photo in photos},
        film.file.digest if film else None,
    )


def disclosed_facts(
    record: VehicleRecord, settings: SiteSettings, shown: PublishedDigests | None = None
) -> dict[str, Any]:
    """Return the facts that a vehicle's pages show or are computed from, as plain JSON values.

    A quantity is the record's text with its unit: `"7/32 in"`. Plain texts are in `language`, and the price is in
    `currency`. A key that is left out means not measured, not checked or not recorded, as in the record itself. So
    a new optional key of the record does not change existing fingerprints.
    """
    facts = record.model_dump(mode="json", exclude=KEPT_BACK, exclude_defaults=True)
    if record.status is Status.SOLD:
        # The page of a sold vehicle shows no price either.
        facts.pop("price", None)
    # A list that the record states as none is published as an empty list: that is a disclosure too.
    if shown:
        _put_digests(facts, record, shown)
    if record.earlier:
        facts["earlier_inspections"] = [_of_earlier(before) for before in record.earlier]
    if record.looks:
        facts["looks"] = list(_looks(record))
    stated_none: dict[str, Any] = {key: [] for key in MAY_BE_NONE if record.states(key)}
    return {"language": settings.first_language, "currency": settings.currency, **stated_none, **facts}


def canonical_record(record: VehicleRecord, settings: SiteSettings, shown: PublishedDigests | None = None) -> bytes:
    """Return the bytes of `record.json`. Source: RFC 8785 (JSON Canonicalization Scheme)."""
    return rfc8785.dumps(disclosed_facts(record, settings, shown))


def fingerprint(facts: bytes) -> str:
    """Return the SHA-256 of `record.json`, as 64 hexadecimal digits."""
    return sha256(facts).hexdigest()


def _of_earlier(record: VehicleRecord) -> dict[str, Any]:
    """Return the published facts of an earlier state, without photos."""
    kept_back = {"defects": {"__all__": {"photos": True}}}
    facts = record.model_dump(mode="json", include=set(OF_AN_INSPECTION), exclude=kept_back, exclude_defaults=True)
    stated_none: dict[str, Any] = {key: [] for key in MAY_BE_NONE if key in OF_AN_INSPECTION and record.states(key)}
    return {**stated_none, **facts}


def _looks(record: VehicleRecord) -> Iterator[dict[str, Any]]:
    """Yield each visit's day, odometer and person, and the paths of the current values that it stated."""
    paths: dict[int, list[str]] = {}
    looks = {look.number: look for look in record.looks.values() if look.visit}
    for path, look in record.looks.items():
        if look.visit and path[0] in OF_AN_INSPECTION and path[0] not in ("inspection", "services", "work_done"):
            paths.setdefault(look.number, []).append(".".join(path[:-1] if path[-2:-1] == ("photos",) else path))
    for number in sorted(paths):
        look = looks[number]
        yield {
            "on": look.on.isoformat(),
            **({"at": look.at.written} if look.at is not None else {}),
            **({"by": _TEXT.dump_python(look.by, mode="json")} if look.by is not None else {}),
            "values": sorted(set(paths[number])),
        }


def _put_digests(facts: dict[str, Any], record: VehicleRecord, shown: PublishedDigests) -> None:
    """Add the digest of each photo, and of the film, to its entry in the facts."""
    entry_lists = facts.get("photos", []), *(defect.get("photos", []) for defect in facts.get("defects", []))
    photo_lists = record.photos, *(defect.photos for defect in record.defects)
    for entries, photos in zip(entry_lists, photo_lists, strict=True):
        for entry, photo in zip(entries, photos, strict=True):
            entry["sha256"] = shown.photos[photo.file]
    if shown.video and "film" in facts:
        facts["film"]["sha256"] = shown.video
