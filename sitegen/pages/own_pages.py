"""Pages that the store wrote itself, in Markdown."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.language.markdown_text import page_html
from sitegen.records.store import OwnPage


@dataclass(frozen=True)
class OwnPageView:
    """A page of the store's own words, with its language where that is not the site's."""

    title: str
    content: Markup
    language: str | None


def own_page_view(page: OwnPage, around: Surroundings) -> OwnPageView:
    """Return the view of an own page."""
    language = None if page.language == around.translator.language else page.language
    return OwnPageView(page.title, page_html(page.markdown), language)
