"""Parsed pages of a published site, and one page of each type."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

from bs4 import BeautifulSoup, Tag
from playwright.sync_api import Page, expect

PAGE_TYPES = (
    "index.html",
    *(f"vehicles/{stock}/index.html" for stock in ("K102", "K106", "K107")),
    "about/index.html",
    "es/index.html",
    "es/vehicles/K107/index.html",
)
"""The inventory; condition pages of a vehicle with an engine, an electric one and a sold one; an own page.

Then in the second language: the inventory, and a page that quotes what is not translated.
"""

EVERY_TYPE = (
    *PAGE_TYPES,
    "compare/index.html?vehicles=K102,K106",
    "kept/index.html?vehicles=K102,K106,K999",
    "data/index.html",
    "browse/body-suv/index.html",
    "vehicles/K102/window-sheet.html",
    "vehicles/K102/disclosure-sheet.html",
    "vehicles/K102/mechanic-sheet.html",
)
"""All types of page, for what is quickly looked at; comparison and kept list with two vehicles in them."""

NOT_LOADED = ("canonical", "alternate", "next", "prev", "author", "license", "help")


def wait_until_whole(page: Page) -> None:
    """Wait until scripts have brought all that they bring late: the comparison, a kept list."""
    expect(page.locator(":is(.comparison-place, .kept-place):empty")).to_have_count(0)


@dataclass(frozen=True)
class ParsedPage:
    """A page: its path in the site, and its parsed text."""

    path: str
    soup: BeautifulSoup

    def addresses(self) -> list[str]:
        """Return every address that the page names for a browser to open or to load."""
        return list(_addresses_of(tag for tag in self.soup.find_all(True) if tag.name != "base"))

    def inner_addresses(self) -> list[str]:
        """Return the addresses that lead to a place in this site."""
        return [address for address in self.addresses() if not urlsplit(address).scheme and address[:2] != "//"]

    def loaded_addresses(self) -> list[str]:
        """Return the addresses that a browser loads without being asked: pictures, styles, scripts, icons, frames."""
        loading = "img, source, script, iframe, embed, object, video, audio, track, input, link"
        tags = [tag for tag in self.soup.select(loading) if not set(tag.get("rel") or ()) & set(NOT_LOADED)]
        return list(_addresses_of(tags))

    def target(self, address: str) -> tuple[str, str]:
        """Return the path in the site and the anchor that an inner address leads to.

        Raises IndexError if the address climbs out of the site.
        """
        parts = urlsplit(address)
        steps: list[str] = []
        for step in (PurePosixPath(self.path).parent / unquote(parts.path)).parts:
            if step == "..":
                steps.pop()
            else:
                steps.append(step)
        return "/".join(steps) if parts.path else self.path, unquote(parts.fragment)

    @cached_property
    def anchors(self) -> set[str]:
        """The ids that a link may lead to."""
        return {str(tag["id"]) for tag in self.soup.select("[id]")}


def _addresses_of(tags: Iterable[Tag]) -> Iterable[str]:
    for tag in tags:
        yield from (str(tag[name]) for name in ("href", "src", "data-poster", "action", "data") if tag.has_attr(name))
        if tag.has_attr("srcset"):
            yield from (candidate.split()[0] for candidate in str(tag["srcset"]).split(","))


@cache
def all_pages(published: Path) -> dict[str, ParsedPage]:
    """Return all pages of a published site by path, sorted."""
    paths = sorted(file.relative_to(published).as_posix() for file in published.rglob("*.html"))
    return {
        path: ParsedPage(path, BeautifulSoup((published / path).read_text("utf-8"), "html.parser")) for path in paths
    }
