"""A page as a value: where it is, what stands round it, what it shows, and what it is made from.

Composing returns such values and writes nothing; rendering turns one into bytes; the sitemap and the publication read
them. Beside pages, a site holds files of data and pictures that are drawn for shared links.
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
    """What a page can be made from."""

    RECORD = "record"
    """One vehicle's inspection, by stock; those of every vehicle, without one."""
    PICTURES = "pictures"
    """One vehicle's photos, by stock; those of every vehicle, without one."""
    SETTINGS = "settings"
    PRICES = "prices"
    REFERENCE = "reference"
    """The figures and names in `content/reference/`."""
    WORDS = "words"
    """The catalogs of one language, by its tag."""
    THEME = "theme"
    OWN_PAGES = "own pages"
    LEDGER = "ledger"
    """What was published of one vehicle before, by stock."""
    DAY = "day"
    """The day at the store, where what is long sold is concerned."""
    EARLIER = "earlier pages"
    """What was published before."""


@dataclass(frozen=True, order=True)
class Source:
    """One thing that a page is made from: `Source(SourceKind.RECORD, "K102")`."""

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
    """What the template places, by the names that it knows."""
    made_from: frozenset[Source]
    """Everything that decides its bytes: while none of it changes, neither does the page."""
    listed: bool = True
    """Whether the sitemap names it."""


@dataclass(frozen=True)
class RenderedPage:
    """A page as bytes, and what is to be known of it from then on: the same as of the page."""

    address: Address
    content: bytes | Packed
    made_from: frozenset[Source]
    listed: bool


@dataclass(frozen=True)
class DataFile:
    """A file for programs: its path in the site, and its bytes."""

    file: str
    content: bytes | Packed
    lasting: bool = False
    """Whether a page that is open in a tab may still ask for it after it has fallen away."""


@dataclass(frozen=True)
class ShareDrawing:
    """A picture for shared links that is wanted: its path in the site, and what it shows."""

    file: str
    card: ShareCard


Piece = Page | RenderedPage | DataFile | ShareDrawing
"""What composing returns."""


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
    """Return a page of one language. What its frame is made from is added to the `sources` of its views."""
    framed = (
        Source(SourceKind.SETTINGS),
        Source(SourceKind.THEME),
        Source(SourceKind.OWN_PAGES),
        Source(SourceKind.WORDS, around.translator.language),
    )
    return Page(at, around.translator.language, frame, template, views, frozenset((*framed, *sources)), listed)


def vehicle_sources(stocks: Iterable[str]) -> frozenset[Source]:
    """Return what a view of these vehicles is made from: their records and pictures, judged by the same figures."""
    of_each = (Source(kind, stock) for stock in stocks for kind in (SourceKind.RECORD, SourceKind.PICTURES))
    return frozenset((*of_each, Source(SourceKind.PRICES), Source(SourceKind.REFERENCE)))


# Not by name: each of a thousand lists would hold ten thousand names.
EVERY_VEHICLE = vehicle_sources([""])
"""What a page is made from that shows or counts all vehicles, be it in its share picture alone."""
