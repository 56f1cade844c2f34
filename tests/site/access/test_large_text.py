"""Letters twice as large, or spaced as a reader likes: nothing bursts sideways, is cut off or lies on another word.

WCAG 2.2, 1.4.4 Resize Text (200 %, by the size of letters alone; a page that is zoomed is one of half the width) and
1.4.12 Text Spacing, with the figures that it names.
"""

from __future__ import annotations

import pytest

from tests.site.access.test_long_words import BURST
from tests.site.pages import wait_until_whole

PAGES = (
    *("es/index.html", "about/index.html", "data/index.html", "browse/body-suv/index.html"),
    *(f"{language}vehicles/{stock}/index.html" for language in ("", "es/") for stock in ("K102", "K104")),
    "es/vehicles/K107/index.html",
    *("es/compare/index.html?vehicles=K102,K104", "es/kept/index.html?vehicles=K102,K106,K999"),
    *(f"es/vehicles/K104/{name}-sheet.html" for name in ("window", "mechanic")),
    "vehicles/K102/disclosure-sheet.html",
)

READERS = {
    "letters of twice the size, by the browser": (32, ""),
    "letters of twice the size, and the page's lengths in the window as they were": (
        16,
        "html { font-size: 225% !important }",
    ),
    "spaced": (
        16,
        "* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }"
        "p { margin-block-end: 2em !important }",
    ),
}
"""By what a reader has set: the size of letters that the browser begins with, in pixels, and a style of their own."""

WIDTHS = (1280, 320)

# Words that stick to an edge of the window lie over others on purpose; a drawing's words have tests of their own.
FAULTS = """() => {
    const faults = [], words = [], sticks = element => element && (
        ["sticky", "fixed"].includes(getComputedStyle(element).position) || sticks(element.parentElement));
    const seen = element => element.checkVisibility({ visibilityProperty: true }) &&
        !element.closest(".only-heard, .skip, select, svg");
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
    while (texts.nextNode()) {
        const text = texts.currentNode, element = text.parentElement;
        if (!text.data.trim() || !seen(element) || sticks(element)) continue;
        const size = parseFloat(getComputedStyle(element).fontSize);
        range.selectNodeContents(text);
        for (const { left, right, top, bottom } of range.getClientRects()) {
            const middle = (top + bottom) / 2;
            words.push({ text, left, right, top: middle - size / 3, bottom: middle + size / 3 });
        }
    }
    words.sort((one, other) => one.top - other.top);
    words.forEach((one, at) => {
        for (let next = at + 1; next < words.length && words[next].top < one.bottom - 2; next++) {
            const other = words[next], wide = Math.min(one.right, other.right) - Math.max(one.left, other.left);
            if (other.text !== one.text && wide > 2) faults.push(`${one.text.data} lies on ${other.text.data}`);
        }
    });
    for (const element of document.body.querySelectorAll("*")) {
        const { overflowX, overflowY } = getComputedStyle(element);
        const cuts = ["hidden", "clip"].some(how => [overflowX, overflowY].includes(how)) || element.matches("input");
        const isCut = cuts && seen(element) && element.scrollWidth > element.clientWidth + 1;
        if (isCut) faults.push(`cut: ${element.outerHTML}`);
    }
    return faults.map(fault => fault.slice(0, 150));
}"""


@pytest.mark.parametrize("path", PAGES)
def test_enlarged_and_spaced_text_is_not_cut_off(open_page, site_address, path):
    page = open_page(f"{site_address}/{path}", bypass_csp=True)
    wait_until_whole(page)
    browser = page.context.new_cdp_session(page)
    style = page.add_style_tag(content="/* the reader's own */")
    page.evaluate(
        "document.querySelectorAll('details').forEach(folded => { folded.open = !folded.matches('nav *') })"
    )
    faults = []
    for reader, (size, css) in READERS.items():
        browser.send("Page.setFontSizes", {"fontSizes": {"standard": size}})
        style.evaluate(
            "(style, css) => { style.textContent = css + '.vehicle-card { content-visibility: visible }' }", css
        )
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 800})
            faults += [(reader, width, fault) for fault in (*page.evaluate(BURST), *page.evaluate(FAULTS))]
    assert not faults


@pytest.mark.parametrize("stock", ["K102", "K104"])
def test_text_in_a_size_drawing_scales_with_the_font(open_page, site_address, stock):
    page = open_page(f"{site_address}/vehicles/{stock}/index.html", width=390)
    words = page.locator(".defect-size-words").first
    before = words.bounding_box()["height"]
    page.context.new_cdp_session(page).send("Page.setFontSizes", {"fontSizes": {"standard": 32}})
    assert words.bounding_box()["height"] == pytest.approx(2 * before, rel=0.1)
