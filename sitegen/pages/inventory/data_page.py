"""The page that describes the site's data files and the columns of the inventory table."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass

from sitegen.pages.frame.addresses import CSV_FILE, INDEX, JSON_FILE, SITEMAP_FILE, Address, feed_file
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.inventory.exports import columns

EACH_RECORD = "vehicles/…/record.json"
"""The name of the vehicles' records on the page. It is not a link, because each vehicle has its own."""


@dataclass(frozen=True)
class OfferedFile:
    """A data file: its name, its link if it is a single file, and its description."""

    name: str
    href: str | None
    words: str


@dataclass(frozen=True)
class DataPage:
    """The data files, and the columns of the inventory table with their meanings."""

    files: tuple[OfferedFile, ...]
    columns: tuple[tuple[str, str], ...]


def data_address(language_folder: str) -> Address:
    """Return the address of the data page."""
    return Address(posixpath.join(language_folder, "data", INDEX))


def data_page(around: Surroundings) -> DataPage:
    """Return the view of the data page."""
    say, at = around.translator.say, data_address(around.language_folder)
    linked = {JSON_FILE: "json", CSV_FILE: "csv", feed_file(around.language_folder): "feed", SITEMAP_FILE: "sitemap"}
    files = [OfferedFile(name, at.to(name), say(f"data.{key}")) for name, key in linked.items()]
    files.insert(2, OfferedFile(EACH_RECORD, None, say("data.record")))
    return DataPage(tuple(files), tuple((column, say(f"column.{column}")) for column in columns(around)))
