"""What was made of a vehicle in one language, as bytes to be kept or sent, and what it was made from, as a digest.

While nothing that it is made from has changed, what was made before is taken as it was. Composing writes nothing, so
whoever composes gives the memory.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache
from hashlib import sha256
from typing import Protocol

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import DataFile, Piece, RenderedPage, ShareDrawing, Source, SourceKind
from sitegen.pages.inventory.card import Listing, listing, listing_as_bytes, listing_from_bytes
from sitegen.pages.material import Material
from sitegen.pages.vehicle.shared.share_card import share_card, share_drawing
from sitegen.photos.deriving.share_picture import CardFigure
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shelf import Packed, packed


class PageMemory(Protocol):
    """Keeps bytes by language and a name, those that were kept last."""

    def recall(self, language: str, name: str, sources: str) -> bytes | None:
        """Return what was kept, if it was made from these sources by the same words, theme and code."""

    def keep(self, language: str, name: str, sources: str, made: bytes) -> None:
        """Keep what was made from these sources."""


class NoMemory:
    """Remembers nothing, so that everything is made."""

    def recall(self, language: str, stock: str, sources: str) -> bytes | None:
        """Return nothing."""

    def keep(self, language: str, stock: str, sources: str, made: bytes) -> None:
        """Forget it."""


def listing_made(record: VehicleRecord, around: Surroundings, material: Material, memory: PageMemory) -> Listing:
    """Return what lists need to know of a vehicle: remembered, or else made."""
    language, name = around.translator.language, f"{record.stock}.card"
    sources = digest_of_card(record, around)
    kept = None if sources is None else memory.recall(language, name, sources)
    if kept is not None:
        return listing_from_bytes(kept, record, around)
    made = listing(record, material.conditions[record.stock], material.vocabulary, around)
    if sources is not None:
        memory.keep(language, name, sources, listing_as_bytes(made))
    return made


def digest_of_card(record: VehicleRecord, around: Surroundings) -> str | None:
    """Return the SHA-256 of all that a card is made from, but for words and reference figures.

    It is None where it is not known what the record was read from. What is judged of a record hangs on the record
    itself, the region's figures, the prices, and how far settings say is driven in a year.
    """
    read_from = around.store.read_from(record.stock)
    return None if read_from is None else _digest(read_from, around.digest_of_settings)


def digest_of_sources(record: VehicleRecord, around: Surroundings, material: Material) -> str | None:
    """Return the SHA-256 of all that a vehicle's pages are made from, but for words, reference figures and theme.

    It is None where it is not known what the record was read from.
    """
    store, stock = around.store, record.stock
    read_from = store.read_from(stock)
    if read_from is None:
        return None
    pictures, versions = material.pictures.of_vehicle(stock), material.versions.get(stock, ())
    return _digest(
        *(read_from, around.digest_of_settings, around.language_folder, store.own_pages, store.footage_of(stock)),
        *(pictures, versions, material.proofs[stock]),
    )


def _digest(*sources: object) -> str:
    return sha256(repr(sources).encode()).hexdigest()


def as_bytes(made: Iterable[Piece]) -> bytes:
    """Return pages, data and the words of a share picture: a line of JSON, and after it the files as they are packed.

    The photo and style of a share picture are at hand later.
    """
    pieces = tuple(made)
    pages = [(piece, _packed(piece.content)) for piece in pieces if isinstance(piece, RenderedPage)]
    data = [(piece, _packed(piece.content)) for piece in pieces if isinstance(piece, DataFile)]
    cards = [piece.card for piece in pieces if isinstance(piece, ShareDrawing)]
    told = {
        "pages": [
            (
                *_place(small),
                page.address.file,
                sorted((source.kind, source.of) for source in page.made_from),
                page.listed,
            )
            for page, small in pages
        ],
        "data": [(*_place(small), file.file) for file, small in data],
        "shared": [(card.title, [(figure.label, figure.figure) for figure in card.figures]) for card in cards],
    }
    files = (small.content for _, small in (*pages, *data))
    return b"\n".join([json.dumps(told).encode(), b"".join(files)])


def _packed(content: bytes | Packed) -> Packed:
    return content if isinstance(content, Packed) else packed(content)


def _place(small: Packed) -> tuple[int, str]:
    return len(small.content), small.imprint


def from_bytes(
    kept: bytes, record: VehicleRecord, around: Surroundings, material: Material
) -> tuple[RenderedPage | ShareDrawing | DataFile, ...]:
    """Return what was made of a vehicle from its bytes; its files stay packed."""
    head = kept.index(b"\n")
    known, start = json.loads(kept[:head]), head + 1

    def next_file(length: int, imprint: str) -> Packed:
        nonlocal start
        start += length
        return Packed(kept[start - length : start], imprint)

    pages = [
        RenderedPage(
            Address(file),
            next_file(length, imprint),
            _sources(tuple((kind, of) for kind, of in made_from)),
            listed,
        )
        for length, imprint, file, made_from, listed in known["pages"]
    ]
    data = [DataFile(file, next_file(length, imprint)) for length, imprint, file in known["data"]]
    cards = (
        share_card(record, title, tuple(CardFigure(*figure) for figure in figures), material.pictures, around)
        for title, figures in known["shared"]
    )
    return (*pages, *map(share_drawing, cards), *data)


@lru_cache(maxsize=16)
def _sources(told: tuple[tuple[str, str], ...]) -> frozenset[Source]:
    """Return what a page is made from: one object for the sheets of a vehicle, which are made from the same."""
    return frozenset(Source(SourceKind(kind), of) for kind, of in told)
