"""Explanations of trade words can be read in every browser, with and without popovers."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, Route, expect

SIZES = ((320, 568), (390, 844), (844, 390), (1280, 800))
LONGEST = """() => [...document.querySelectorAll(".explained[popovertarget]")].reduce((longest, word) => {
    const length = one => document.getElementById(one.getAttribute("popovertarget")).textContent.length;
    return length(word) > length(longest) ? word : longest;
}).getAttribute("popovertarget")"""


def without(page: Page, files: str, unknown: str) -> None:
    """Have a page come from the host as a browser sees it that does not know something."""

    def renamed(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=re.sub(unknown, "x-unknown", answer.text()))

    page.route(files, renamed)
    page.reload()


def assert_wholly_in_sight(page: Page, size: tuple[int, int]) -> None:
    """Hold an open explanation to lie in the window with all its words and the way to close it."""
    explanation = page.locator(".explanation:popover-open")
    box = explanation.bounding_box()
    assert min(box["x"], box["y"]) >= 0, size
    assert box["x"] + box["width"] <= size[0], size
    assert box["y"] + box["height"] <= size[1], size
    assert explanation.evaluate(
        "one => one.scrollHeight <= one.clientHeight && one.scrollWidth <= one.clientWidth"
    ), size
    last = explanation.locator("button").bounding_box()
    assert last["y"] + last["height"] <= box["y"] + box["height"], size


COMMAS = """() => [...document.querySelectorAll(".explained")].filter(word => /^[,.;:]/.test(word.nextSibling?.data))
    .map(word => {
        const comma = document.createRange();
        comma.setStart(word.nextSibling, 0);
        comma.setEnd(word.nextSibling, 1);
        const [there, end] = [comma.getBoundingClientRect(), word.getBoundingClientRect()];
        return [word.textContent, there.height > 0 && there.top > end.bottom - there.height / 2];
    })"""
"""Words that have a comma or the like behind them, and whether that stands on the line below."""


@pytest.mark.parametrize("path", ["vehicles/K104/index.html", "es/vehicles/K104/index.html"])
def test_no_line_begins_with_the_comma_after_an_explained_word(open_page, site_at_root, path):
    """At each width of a phone. A line may break on either side of a button (HTML, rendering of buttons)."""
    page = open_page(f"{site_at_root}/{path}", width=390, height=844)
    for width in range(320, 440, 4):
        page.set_viewport_size({"width": width, "height": 844})
        found = page.evaluate(COMMAS)
        assert len(found) >= 3, width
        assert [word for word, is_below in found if is_below] == [], width


@pytest.mark.parametrize("path", ["vehicles/K102/index.html", "es/vehicles/K104/index.html"])
@pytest.mark.parametrize("knows_places", [True, False], ids=["beside the word", "no place beside it"])
def test_an_explanation_is_fully_visible_and_can_be_closed(open_page, site_address, path, knows_places):
    page = open_page(f"{site_address}/{path}")
    if not knows_places:
        without(page, "**/*.css", "position-area|position-try-fallbacks")
    opened = page.locator(".explanation:popover-open")
    name = page.evaluate(LONGEST)
    word = page.locator(f".explained[popovertarget={name}]").first
    word.evaluate("word => word.closest('details')?.setAttribute('open', '')")
    for size in SIZES:
        page.set_viewport_size({"width": size[0], "height": size[1]})
        word.click()
        assert_wholly_in_sight(page, size)
        page.keyboard.press("Escape")
        expect(opened).to_have_count(0)
        assert word.evaluate("word => word === document.activeElement"), size
        word.click()
        page.mouse.click(3, 3)  # the corner of the window, which nothing covers
        expect(opened).to_have_count(0)
        word.click()
        opened.locator("button").click()
        expect(opened).to_have_count(0)


def test_without_popovers_a_word_leads_to_its_explanation(open_page, site_address):
    page = open_page(f"{site_address}/vehicles/K102/index.html", width=390)
    without(page, "**/vehicles/K102/index.html", r"(?<=\d\" |\w\" )popover(?=>)")
    explanations = page.locator(".explanation")
    assert explanations.count() > 5
    assert all(one.is_visible() for one in explanations.all())
    assert not any(one.is_visible() for one in explanations.locator("button").all()), "there is nothing to close"
    word = page.locator("#measured .explained").first
    name = word.get_attribute("popovertarget")
    word.click()
    expect(page.locator(f"#{name}")).to_be_in_viewport()
    assert page.url.endswith(f"#{name}")
