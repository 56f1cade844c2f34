"""Addresses inside the site. Links are relative and name the file, so that a site opened from a folder works too.

Shared and canonical addresses end in the folder (`vehicles/K102/`) and never change.
"""

from __future__ import annotations

import posixpath
from dataclasses import dataclass
from urllib.parse import quote

from sitegen.records.store import SiteSettings

INDEX = "index.html"
DATA_FILE = "data/index.html"
"""The page about data, in each language."""
NOT_FOUND_FILE = "404.html"
FEED_FILE, SITEMAP_FILE, ROBOTS_FILE = "feed.xml", "sitemap.xml", "robots.txt"
JSON_FILE, CSV_FILE = "inventory.json", "inventory.csv"


@dataclass(frozen=True)
class Address:
    """The file of a page in the site, such as `vehicles/K102/index.html`."""

    file: str

    def to(self, other: str) -> str:
        """Return the relative link from this page to another file of the site."""
        here, there = self.file.split("/")[:-1], other.split("/")
        shared = len(posixpath.commonprefix([here, there[:-1]]))
        return quote("/".join([".."] * (len(here) - shared) + there[shared:]), safe="/.")

    def canonical(self, base_address: str) -> str:
        """Return the full address on the web, which ends in the folder."""
        return f"{base_address.rstrip('/')}/{quote(self.file.removesuffix(INDEX))}"


def language_folder(language: str, settings: SiteSettings) -> str:
    """Return the folder of a language's pages. It is empty for the store's first language."""
    return "" if language == settings.first_language else language


def same_page(at: Address, folder: str, other_folder: str) -> Address:
    """Return the address of the same page in another language. `folder` and `other_folder` are their folders."""
    return Address(posixpath.join(other_folder, at.file.removeprefix(f"{folder}/") if folder else at.file))


def inventory_page(language_folder: str) -> Address:
    """Return the address of the inventory index. `language_folder` is empty for the store's first language."""
    return Address(posixpath.join(language_folder, INDEX))


def vehicle_page(stock: str, language_folder: str) -> Address:
    """Return the address of a vehicle's condition page."""
    return Address(posixpath.join(language_folder, "vehicles", stock, INDEX))


def feed_file(language_folder: str) -> str:
    """Return the path of a language's feed."""
    return posixpath.join(language_folder, FEED_FILE)


def own_page(slug: str, language_folder: str) -> Address:
    """Return the address of a page that the store wrote itself."""
    return Address(posixpath.join(language_folder, slug, INDEX))


def window_sheet_page(stock: str, language_folder: str) -> Address:
    """Return the address of a vehicle's window sheet."""
    return Address(posixpath.join(language_folder, "vehicles", stock, "window-sheet.html"))


def disclosure_sheet_page(stock: str, language_folder: str) -> Address:
    """Return the address of a vehicle's disclosure sheet."""
    return Address(posixpath.join(language_folder, "vehicles", stock, "disclosure-sheet.html"))


def mechanic_sheet_page(stock: str, language_folder: str) -> Address:
    """Return the address of the sheet for the buyer's mechanic."""
    return Address(posixpath.join(language_folder, "vehicles", stock, "mechanic-sheet.html"))


def changes_file(vehicle: Address) -> str:
    """Return the path of the script file with a vehicle's changes, which is beside the vehicle's page."""
    return posixpath.join(posixpath.dirname(vehicle.file), "changes.js")


def record_file(stock: str) -> str:
    """Return the path of a vehicle's `record.json`. There is one for all languages."""
    return posixpath.join("vehicles", stock, "record.json")
