"""A link to an earlier version of a page: opened later, the page lists and marks all changes, and stores nothing.

Sources: RFC 3986 (query components), WHATWG HTML (text inserted as text is never parsed as markup).
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Page, expect


def data_of(store: Path, stock: str, folder: str = "") -> dict[str, object]:
    """Return the entry of a vehicle in the file of changes, by its stock number."""
    script = (store / "published" / folder / "vehicles" / stock / "changes.js").read_text("utf-8")
    found = re.fullmatch(r'\(globalThis\.sitegenChanges \?\?= \{\}\)\["(.*)"\] = (.*)\n', script)
    assert found
    assert found[1] == stock
    data: dict[str, object] = json.loads(found[2])
    return data


def test_the_keep_link_contains_the_version_in_the_ledger(changed: Path, names: dict[int, str]):
    """Without scripts the link is an ordinary link, and the page's history lists every change with its day."""
    page = BeautifulSoup((changed / "published/vehicles/K900/index.html").read_text("utf-8"), "html.parser")
    assert {str(link["href"]) for link in page.select(".keep-link")} == {f"?since={names[4]}"}
    assert "This is version 4 of this page." in page.get_text()
    told = " ".join(page.select_one("#page-history").find_next("ul").get_text(" ").split())
    for line in (
        "October 12, 2026 The left front tire: 5/32 in at its lowest; it was 6/32 in.",
        "November 2, 2026 The price is now $12,900; it was $13,450.",
        "November 5, 2026 On hold for a buyer.",
        "November 5, 2026 Measures 3.5 in (90 mm) now; it was 2.4 in (60 mm): A stone has cracked the lens.",
        "November 5, 2026 Now “needs attention”, before “not checked”: tow wiring.",
        "November 3, 2026 Corrected: <b>Ours</b> & mended.",
    ):
        assert line in told
    assert told.count("mended") == 1
    assert page.select_one(".kept-otherwise a")["href"] == "#page-history"


def lines_of(page: Page) -> list[str]:
    return [" ".join(line.split()) for line in page.locator(".kept-notice li").all_inner_texts()]


def test_a_kept_link_lists_and_marks_the_changes_since(open_page, changed: Path, site: str, names: dict[int, str]):
    """From a server and from a folder. Each line links to its place, which carries a mark. Nothing is stored."""
    page = open_page(f"{site}/vehicles/K900/index.html?since={names[1]}", width=390)
    notice = page.locator(".kept-notice")
    expect(notice.get_by_role("status")).to_have_text(
        "Your link keeps the page as it was published on October 6, 2026 (version 1). 6 things have changed since:"
    )
    assert lines_of(page) == [
        "On hold for a buyer.",
        "The price is now $12,900; it was $13,450.",
        "Corrected on November 3, 2026: <b>Ours</b> & mended.",
        "Measures 3.5 in (90 mm) now; it was 2.4 in (60 mm): A stone has cracked the lens. The light works.",
        "The left front tire: 5/32 in at its lowest; it was 6/32 in.",
        "Now “needs attention”, before “not checked”: tow wiring.",
    ]
    places = [link.get_attribute("href") for link in notice.locator("li a").all()]
    assert places == ["#offer", "#offer", "#papers", "#fog-light-lens", "#figure-tires-left-front", "#checks"]
    for place in dict.fromkeys(places):
        expect(page.locator(f"{place} .kept-mark").first).to_have_text(re.compile("since your link$"))
    assert page.evaluate("[document.cookie, localStorage.length, sessionStorage.length]") == ["", 0, 0]
    page.get_by_text("Menu", exact=True).click()
    page.get_by_role("link", name="Español").click()
    expect(page.locator(".kept-notice").get_by_role("status")).to_have_text(
        "Su enlace guarda la página tal como se publicó el 6 de octubre de 2026 (versión 1). "
        "Desde entonces han cambiado 6 cosas:"
    )
    expect(page.locator(".kept-notice li").nth(3).locator("[lang=en]")).to_have_count(1)
    page.goto((changed / "published/vehicles/K900/index.html").as_uri() + f"?since={names[3]}")
    expect(page.locator(".kept-notice li")).to_have_count(4)


@pytest.mark.parametrize(
    ("since", "told"),
    [
        ("{now}", "This address keeps the page as it is now: version 4, published on November 5, 2026."),
        ("3.000000", "Your link names a version of this page that we do not know"),
        ("%3Cimg%20src=x%20onerror=alert(1)%3E", "Your link names a version of this page that we do not know"),
        ("__proto__", "Your link names a version of this page that we do not know"),
        ("", "Your link names a version of this page that we do not know"),
    ],
)
def test_the_page_says_when_nothing_changed_or_the_version_is_unknown(
    open_page, site: str, names: dict[int, str], since: str, told: str
):
    page = open_page(f"{site}/vehicles/K900/index.html?since={since.format(now=names[4])}")
    expect(page.locator(".kept-notice").get_by_role("status")).to_contain_text(told)
    expect(page.locator(".kept-notice :is(li, img), .kept-mark")).to_have_count(0)
