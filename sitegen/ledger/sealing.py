"""List what a built site discloses, and put the digests of the ledger's lines into its pages. Pure.

A line contains the digest of each page, and the page shows the digest of the line. The page is therefore built with
zeros in place of the line's digest. The line refers to that version, and then the digest replaces the zeros.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from sitegen.ledger.lines import Line
from sitegen.ledger.new_lines import Disclosure
from sitegen.pages.frame.addresses import FEED_FILE, INDEX, language_folder, vehicle_page
from sitegen.pages.material import Material
from sitegen.pages.site import Site
from sitegen.pages.vehicle.record_json import LEDGER_LINE_PLACEHOLDER
from sitegen.records.store import SiteSettings, Store

PAGE = ".html"


def disclosures_of(site: Site, material: Material, store: Store) -> tuple[Disclosure, ...]:
    """Return what the site discloses about each vehicle, in order of stock number."""
    of_vehicles = pages_of_vehicles(site, material.facts, store.settings)
    vins = {record.stock: record.vin for record in material.published(store)}
    return tuple(
        Disclosure(stock, vins[stock], material.proofs[stock].fingerprint, _digests(site, of_vehicles[stock]))
        for stock in sorted(material.facts)
    )


def _digests(site: Site, paths: Sequence[str]) -> dict[str, str]:
    return {path: site.page_digests[path] for path in paths}


def pages_of_vehicles(site: Site, stocks: Mapping[str, bytes], settings: SiteSettings) -> dict[str, list[str]]:
    """Return the pages of each vehicle, sheets included, in every language, by stock number."""
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
    """Return the site with the digest of each vehicle's line in its pages, and of the `last` line in the feed."""
    line_of = {page: line for line in lines.values() for page in line.pages}
    if last is not None:
        line_of |= dict.fromkeys((path for path in site.pages if path.rpartition("/")[2] == FEED_FILE), last)
    filled = {
        path: f"{site.page_digests[path]} {line.digest}"
        for path, line in line_of.items()
        if path in site.page_digests
    }
    return site.with_pages(_Sealed(site.pages, line_of), {**site.page_digests, **filled})


@dataclass(frozen=True)
class _Sealed(Mapping[str, bytes]):
    """Pages that receive their line's digest when they are read. Replacing all at once would take much memory."""

    unsealed: Mapping[str, bytes]
    line_of: Mapping[str, Line]

    def __getitem__(self, path: str) -> bytes:
        page, line = self.unsealed[path], self.line_of.get(path)
        return page if line is None else filled_in(page, line)

    def __iter__(self) -> Iterator[str]:
        return iter(self.unsealed)

    def __len__(self) -> int:
        return len(self.unsealed)


def filled_in(page: bytes, line: Line) -> bytes:
    """Return a page with its line's digest in place of the zeros."""
    return page.replace(LEDGER_LINE_PLACEHOLDER.encode(), line.digest.encode())


def shown_files(material: Material, store: Store) -> dict[str, Path]:
    """Return the file of each photo and film that the site shows, by its SHA-256."""
    files = {
        picture.digest: material.pictures.folder / picture.digest for picture in material.pictures.by_photo.values()
    }
    return files | {
        vehicle.film.file.digest: material.pictures.folder / vehicle.film.file.digest
        for vehicle in store.vehicles
        if vehicle.film is not None
    }


def last_of_vehicles(lines: Sequence[Line]) -> Line | None:
    """Return the last line that concerns a vehicle, or None."""
    return next((line for line in reversed(lines) if line.stock is not None), None)
