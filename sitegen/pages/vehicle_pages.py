"""Make all files and list entries of one vehicle in every language, as a value to store.

The files are compressed one by one and joined, so that each can be read by its offset without the others.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from sitegen.pages.composing_vehicle import record_data, vehicle_pieces
from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import DataFile, Page, RenderedPage, ShareDrawing, rendered
from sitegen.pages.inventory.card import ListingFacts, listing_facts
from sitegen.pages.material import Material
from sitegen.pages.vehicle.shared.share_card import share_card, share_drawing
from sitegen.photos.deriving.share_picture import CardFigure
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class StoredFile:
    """One file of the site, and its place in the vehicle's stored bytes."""

    path: str
    start: int
    length: int
    digest: str
    """SHA-256 of the file's bytes."""
    listed: bool
    """Whether the sitemap names it."""


@dataclass(frozen=True)
class SharePictureTexts:
    """The texts of a share picture. Its photo and style are known when it is drawn."""

    title: str
    figures: tuple[CardFigure, ...]


@dataclass(frozen=True)
class VehicleInLanguage:
    """The files, list entry and share picture of a vehicle in one language."""

    listing: ListingFacts
    share: SharePictureTexts
    files: tuple[StoredFile, ...]

    def drawing(self, record: VehicleRecord, pictures: Pictures, around: Surroundings) -> ShareDrawing:
        """Return the share picture to draw."""
        return share_drawing(share_card(record, self.share.title, self.share.figures, pictures, around))

    def listed(self) -> Iterator[Address]:
        """Yield the addresses that the sitemap names."""
        return (Address(file.path) for file in self.files if file.listed)


@dataclass(frozen=True)
class VehiclePages:
    """All files of a vehicle except pictures and film. `record.json` is with the first language."""

    languages: Mapping[str, VehicleInLanguage]
    content: str
    """SHA-256 of the bytes of all files, as they are stored."""


class StoredContent:
    """The files of one vehicle, each compressed, to be joined into one bytes object."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []
        self._end = 0

    def add(self, path: str, content: bytes, listed: bool) -> StoredFile:
        """Compress a file and append it. Return its place in the joined bytes."""
        small = zlib.compress(content, 1)
        self._parts.append(small)
        start, self._end = self._end, self._end + len(small)
        return StoredFile(path, start, len(small), sha256(content).hexdigest(), listed)

    def joined(self) -> bytes:
        """Return the compressed bytes of all files, joined."""
        return b"".join(self._parts)


def content_of(file: StoredFile, joined: bytes) -> bytes:
    """Return the decompressed bytes of one file. `joined` are the stored bytes of its vehicle."""
    return zlib.decompress(joined[file.start : file.start + file.length])


def vehicle_in_languages(
    record: VehicleRecord,
    material: Material,
    spoken: Sequence[Surroundings],
    near: Sequence[VehicleRecord],
    content: StoredContent,
) -> dict[str, VehicleInLanguage]:
    """Compose and render a vehicle's files in each language, and append them to `content`.

    `spoken` are the surroundings of each language, the store's first language first. The page of a sold vehicle links
    to the vehicles in `near`.
    """
    languages = {}
    for place, surroundings in enumerate(spoken):
        around = surroundings.at(record.location)
        renderer = around.theme.speaking(around.translator.catalog)
        files, share = [], None
        if not place:
            data = record_data(record, material)
            files.append(content.add(data.file, data.content, False))
        for piece in vehicle_pieces(record, around, material, near):
            match rendered(piece, renderer) if isinstance(piece, Page) else piece:
                case RenderedPage() as page:
                    files.append(content.add(page.address.file, page.content, page.listed))
                case DataFile() as data:
                    files.append(content.add(data.file, data.content, False))
                case ShareDrawing() as drawing:
                    share = SharePictureTexts(drawing.card.title, drawing.card.figures)
        assert share is not None
        facts = listing_facts(record, material.conditions[record.stock], material.vocabulary, surroundings)
        languages[around.translator.language] = VehicleInLanguage(facts, share, tuple(files))
    return languages
