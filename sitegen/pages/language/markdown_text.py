"""Convert Markdown to sanitized HTML. Headings start at the second level, below the page's own."""

from __future__ import annotations

import re
from dataclasses import dataclass

import markdown
import nh3
from markupsafe import Markup

# Elements for prose only: none of them can run scripts, load resources or change styles.
_TAGS = {
    *("p", "br", "hr", "em", "strong", "b", "i", "code", "pre", "blockquote", "a"),
    *("ul", "ol", "li", "dl", "dt", "dd", "h2", "h3", "h4", "h5", "h6"),
    *("table", "thead", "tbody", "tr", "th", "td"),
}
_ATTRIBUTES = {"a": {"href", "title"}}
_SCHEMES = {"http", "https", "mailto", "tel", "sms"}


@dataclass(frozen=True)
class Prose:
    """A long text of the store as HTML, with its language if it is not the page's."""

    content: Markup
    language: str | None


def page_html(text: str) -> Markup:
    """Return the sanitized HTML of a Markdown text.

    First-level headings become second-level ones, and each table is wrapped in a scrolling element.
    """
    lowered = re.sub(r"^# ", "## ", text, flags=re.MULTILINE)
    html = markdown.markdown(lowered, extensions=["tables", "def_list", "sane_lists"], output_format="html")
    clean = nh3.clean(html, tags=_TAGS, attributes=_ATTRIBUTES, url_schemes=_SCHEMES, link_rel=None).strip()
    scrolling = clean.replace("<table>", '<div class="scroller" tabindex="0"><table>')
    return Markup(scrolling.replace("</table>", "</table></div>"))


def inline_html(text: str) -> Markup:
    """Return the HTML of one paragraph without its `p` element."""
    return Markup(re.sub(r"^<p>|</p>$", "", page_html(text)))
