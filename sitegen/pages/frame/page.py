"""The values that composing returns: pages, rendered pages, data files and share pictures to draw.

A page holds its address, frame, template, views and sources. Composing writes nothing to disk; rendering turns a page
into bytes; the sitemap and the publication read these values.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Frame, Surroundings
from sitegen.pages.frame.theme import Renderer
from sitegen.photos.deriving.share_picture import ShareCard
from sitegen.shelf import Packed


class SourceKind(StrEnum):
    """The kinds of input that a page can depend on."""

    RECORD = "record"
    """One vehicle's inspection, by stock number; without a number, every vehicle's."""
    PICTURES = "pictures"
    """One vehicle's photos, by stock number; without a number, every vehicle's."""
    SETTINGS = "settings"
    PRICES = "prices"
    REFERENCE = "reference"
    """The figures and names in `content/reference/`."""
    WORDS = "words"
    """The catalogs of one language, by its tag."""
    THEME = "theme"
    OWN_PAGES = "own pages"
    LEDGER = "ledger"
    """Earlier publications of one vehicle, by stock number."""
    DAY = "day"
    """The day in the store's time zone, which decides whether a vehicle was sold long ago."""
    EARLIER = "earlier pages"
    """The pages of earlier publications."""


@dataclass(frozen=True, order=True)
class Source:
    """One input that a page depends on: `Source(SourceKind.RECORD, "K102")`."""

    kind: SourceKind
    of: str = ""


@dataclass(frozen=True)
class Page:
    """A page that is composed and not yet rendered."""

    address: Address
    language: str
    frame: Frame
    template: str
    """Path of the template in the theme."""
    views: Mapping[str, object]
    """The template's variables."""
    made_from: frozenset[Source]
    """Every input that decides its bytes. The page changes only if one of them changes."""
    listed: bool = True
    """Whether the sitemap names it."""


@dataclass(frozen=True)
class RenderedPage:
    """A page as bytes, with the attributes of the page that publishing needs."""

    address: Address
    content: bytes | Packed
    made_from: frozenset[Source]
    listed: bool


@dataclass(frozen=True)
class DataFile:
    """A data file of the site: its path and its bytes."""

    file: str
    content: bytes | Packed
    lasting: bool = False
    """Whether a page in an open tab may still request it after it is no longer part of the site."""


@dataclass(frozen=True)
class ShareDrawing:
    """A share picture to draw: its path in the site, and its content."""

    file: str
    card: ShareCard


Piece = Page | RenderedPage | DataFile | ShareDrawing
"""A value that composing yields."""


def rendered(page: Page, renderer: Renderer) -> RenderedPage:
    """Render a page in the language of the renderer."""
    content = renderer.page(page.template, frame=page.frame, **page.views)
    return RenderedPage(page.address, content, page.made_from, page.listed)


def page_of(
    around: Surroundings,
    frame: Frame,
    at: Address,
    template: str,
    views: Mapping[str, object],
    sources: Iterable[Source] = (),
    listed: bool = True,
) -> Page:
    """Return a page of one language. `sources` are those of its views; those of its frame are added here."""
    framed = (
        Source(SourceKind.SETTINGS),
        Source(SourceKind.THEME),
        Source(SourceKind.OWN_PAGES),
        Source(SourceKind.WORDS, around.translator.language),
    )
    return Page(at, around.translator.language, frame, template, views, frozenset((*framed, *sources)), listed)


def vehicle_sources(stocks: Iterable[str]) -> frozenset[Source]:
    """Return the sources of a view of these vehicles: their records and pictures, prices and reference figures."""
    of_each = (Source(kind, stock) for stock in stocks for kind in (SourceKind.RECORD, SourceKind.PICTURES))
    return frozenset((*of_each, Source(SourceKind.PRICES), Source(SourceKind.REFERENCE)))


# Vehicles are not named one by one: each of a thousand lists would hold ten thousand names.
EVERY_VEHICLE = vehicle_sources([""])
"""The sources of a page that shows or counts all vehicles, even if only in its share picture."""
