"""What a composed site discloses, and the site with the digests of the ledger's lines put in their places. Pure.

A line tells the digest of each page, and the page shows the digest of the line. So the page is made first, with zeros
in the place of the line's digest; the line tells of it like that, and then the digest is put in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from sitegen.ledger.lines import Line
from sitegen.ledger.planning import Disclosure
from sitegen.pages.frame.addresses import FEED_FILE, INDEX, language_folder, vehicle_page
from sitegen.pages.material import Material
from sitegen.pages.site import Site
from sitegen.pages.vehicle.record_json import LEDGER_LINE_PLACEHOLDER
from sitegen.records.store import SiteSettings, Store

PAGE = ".html"


def disclosures_of(site: Site, material: Material, store: Store) -> tuple[Disclosure, ...]:
    """Return what the site discloses of each vehicle, by stock."""
    of_vehicles = pages_of_vehicles(site, material.facts, store.settings)
    vins = {record.stock: record.vin for record in material.published(store)}
    return tuple(
        Disclosure(stock, vins[stock], material.proofs[stock].fingerprint, _Digests(site.pages, of_vehicles[stock]))
        for stock in sorted(material.facts)
    )


def pages_of_vehicles(site: Site, stocks: Mapping[str, bytes], settings: SiteSettings) -> dict[str, list[str]]:
    """Return the pages of each vehicle, its sheets among them, in every language, by stock."""
    homes = {
        vehicle_page(stock, language_folder(language, settings)).file.removesuffix(INDEX): stock
        for stock in stocks
        for language in settings.languages
    }
    pages: dict[str, list[str]] = {stock: [] for stock in stocks}
    for path in sorted(site.pages):
        stock = homes.get(path[: path.rfind("/") + 1])
        if stock is not None and path.endswith(PAGE):
            pages[stock].append(path)
    return pages


def sealed(site: Site, lines: Mapping[str, Line], last: Line | None) -> Site:
    """Return the site with the digest of each vehicle's line on its pages, and that of the `last` one in the feed."""
    line_of = {page: line for line in lines.values() for page in line.pages}
    if last is not None:
        line_of[FEED_FILE] = last
    filled = {path: f"{site.imprints[path]} {line.digest}" for path, line in line_of.items() if path in site.imprints}
    return site.with_pages(_Sealed(site.pages, line_of), {**site.imprints, **filled})


@dataclass(frozen=True)
class _Sealed(Mapping[str, bytes]):
    """Pages, each with the digest of its line put in when it is asked for: all at once would fill the memory."""

    unsealed: Mapping[str, bytes]
    line_of: Mapping[str, Line]

    def __getitem__(self, path: str) -> bytes:
        page, line = self.unsealed[path], self.line_of.get(path)
        return page if line is None else filled_in(page, line)

    def __iter__(self) -> Iterator[str]:
        return iter(self.unsealed)

    def __len__(self) -> int:
        return len(self.unsealed)


@dataclass(frozen=True)
class _Digests(Mapping[str, str]):
    """The digest of each page, taken when it is asked for: a vehicle of which nothing new is told needs none."""

    pages: Mapping[str, bytes]
    paths: Sequence[str]

    def __getitem__(self, path: str) -> str:
        return sha256(self.pages[path]).hexdigest()

    def __iter__(self) -> Iterator[str]:
        return iter(self.paths)

    def __len__(self) -> int:
        return len(self.paths)


def filled_in(page: bytes, line: Line) -> bytes:
    """Return a page with the digest of its line in the place of the zeros."""
    return page.replace(LEDGER_LINE_PLACEHOLDER.encode(), line.digest.encode())


def shown_files(material: Material, store: Store) -> dict[str, Path]:
    """Return the file of every photo and video that the site shows, by its SHA-256."""
    files = {
        picture.digest: material.pictures.folder / picture.full.name
        for picture in material.pictures.by_photo.values()
    }
    return files | {one.footage.digest: one.footage.path for one in store.vehicles if one.footage is not None}


def last_of_vehicles(lines: Sequence[Line]) -> Line | None:
    """Return the last line that tells of a vehicle."""
    return next((line for line in reversed(lines) if line.stock is not None), None)
