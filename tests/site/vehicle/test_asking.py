"""Asking about any figure: each has an address of its own, and a message already written that carries it.

Sources: RFC 5724 (sms) and RFC 6068 (mailto), whose bodies are read back as a phone does, by percent-decoding.
"""

from __future__ import annotations

from urllib.parse import parse_qs, unquote, urlsplit

import pytest

from tests.site.pages import all_pages


@pytest.mark.parametrize("folder", ["", "es/"])
def test_each_figure_and_outlook_line_has_contact_links_with_its_address(demo_site_built, folder):
    page = all_pages(demo_site_built)[f"{folder}vehicles/K102/index.html"]
    canonical = page.soup.select_one("link[rel=canonical]")["href"]
    asked: dict[str, str] = {}
    for ways in page.soup.select("#measured .ask-folded, #outlook .ask-folded"):
        text, mail = (str(ways.select_one(f"a[href^='{scheme}:']")["href"]) for scheme in ("sms", "mailto"))
        (message,) = parse_qs(urlsplit(text).query)["body"]
        assert f"body={text.split('body=')[1]}" in mail
        words, address = message.rsplit(" ", 1)
        anchor = address.removeprefix(f"{canonical}#")
        assert ways.select_one(f"a[href='#{anchor}']")
        assert "K102" in words
        asked[anchor] = unquote(words)
    measured = page.soup.select("#measured .wheel:not(:has(.wheel-figure-missing))")
    wheels = {str(wheel["id"]): wheel.select_one(".wheel-figure").get_text() for wheel in measured}
    facts = {str(fact["id"]): fact.dd.get_text() for fact in page.soup.select("#measured .facts > div")}
    lines = {str(row["id"]): "" for row in page.soup.select("#outlook tr[id]")}
    assert len(wheels) >= 8
    assert len(facts) >= 7
    assert len(lines) >= 15
    told = {**wheels, **facts, **lines}
    assert set(told) <= set(asked)
    for anchor, figure in told.items():
        assert figure in asked[anchor]
        assert page.soup.find(id=anchor)
