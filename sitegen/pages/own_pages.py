"""The view of a page that the store wrote itself, in Markdown."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.language.markdown_text import page_html
from sitegen.records.store import OwnPage


@dataclass(frozen=True)
class OwnPageView:
    """A page of the store's own, with its language if that is not the page's."""

    title: str
    content: Markup
    language: str | None


def own_page_view(page: OwnPage, around: Surroundings) -> OwnPageView:
    """Return the view of one of the store's own pages."""
    language = None if page.language == around.translator.language else page.language
    return OwnPageView(page.title, page_html(page.markdown), language)
