"""The values that composing returns: pages, rendered pages, data files and share pictures to draw.

A page holds its address, frame, template and views. Composing writes nothing to disk; rendering turns a page into
bytes; the sitemap and the publication read these values.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.pages.frame.addresses import Address
from sitegen.pages.frame.frame import Frame, Surroundings
from sitegen.pages.frame.theme import Renderer
from sitegen.photos.deriving.share_picture import ShareCard


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
    listed: bool = True
    """Whether the sitemap names it."""


@dataclass(frozen=True)
class RenderedPage:
    """A page as bytes, with the attributes of the page that publishing needs."""

    address: Address
    content: bytes
    listed: bool


@dataclass(frozen=True)
class DataFile:
    """A data file of the site: its path and its bytes."""

    file: str
    content: bytes
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
    return RenderedPage(page.address, content, page.listed)


def page_of(
    around: Surroundings,
    frame: Frame,
    at: Address,
    template: str,
    views: Mapping[str, object],
    listed: bool = True,
) -> Page:
    """Return a page of one language."""
    return Page(at, around.translator.language, frame, template, views, listed)
