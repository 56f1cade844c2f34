"""Faults that shoppers met: a link that landed elsewhere, words cut off or torn, a language nobody offered."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

PHONE = {"has_touch": True, "is_mobile": True}
CUT_OFF = """() => {
  const pen = document.createElement('canvas').getContext('2d')
  const hinted = [...document.querySelectorAll('input[placeholder]')].filter((input) => input.checkVisibility())
  return hinted.filter((input) => {
    const { font, paddingInlineStart, paddingInlineEnd } = getComputedStyle(input)
    pen.font = font
    const room = input.clientWidth - parseFloat(paddingInlineStart) - parseFloat(paddingInlineEnd)
    return pen.measureText(input.placeholder).width > room
  }).map((input) => input.placeholder)
}"""


COMES_TO_THE_TOP = """(section) => new Promise((done) => {
    const end = performance.now() + 10_000
    const look = () => {
        if (Math.abs(section.getBoundingClientRect().top) < innerHeight / 4) done(true)
        else if (performance.now() > end) done(false)
        else requestAnimationFrame(look)
    }
    look()
})"""
"""Whether a section comes to the top of the window: pictures above may still come in, and the browser follows."""


def test_a_link_to_the_lists_of_a_page_lands_there(open_page, site_address):
    page = open_page(f"{site_address}/index.html", 390, 844, **PHONE)
    page.locator(".browse-jump a").tap()
    expect(page.locator("#browse-title")).to_be_in_viewport()
    assert page.locator("#browse").evaluate(COMES_TO_THE_TOP)


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("language", ["", "es/"])
def test_no_placeholder_is_cut_off(open_page, site_address, language, width):
    page = open_page(f"{site_address}/{language}index.html", width, 844)
    page.locator(".filters").evaluate("(filters) => { filters.open = true }")
    assert page.evaluate(CUT_OFF) == []


@pytest.mark.parametrize("width", [320, 390, 1280])
@pytest.mark.parametrize("language", ["", "es/"])
def test_the_status_of_a_vehicle_does_not_wrap(open_page, site_address, language, width):
    page = open_page(f"{site_address}/{language}index.html", width, 844)
    statuses = page.locator(".vehicle-card .status")
    assert statuses.count() > 0
    assert statuses.evaluate_all("(all) => Math.max(...all.map((status) => status.getClientRects().length))") == 1
    tall = "(all) => Math.max(...all.map((one) => one.offsetHeight / parseFloat(getComputedStyle(one).lineHeight)))"
    # In Spanish it is too long for one line of a card of 320 pixels.
    assert statuses.evaluate_all(tall) < 1.6 or (width, language) == (320, "es/")


def test_escape_closes_the_contents_and_gives_back_the_focus(open_page, site_address):
    """The way of a disclosure that lies over the page: ARIA Authoring Practices, Dialog and Menu Button patterns."""
    page = open_page(f"{site_address}/vehicles/K102/index.html", 390, 844)
    summary = page.locator(".contents-fold > summary")
    summary.click()
    page.keyboard.press("Tab")
    page.keyboard.press("Escape")
    expect(page.locator(".contents-fold")).not_to_have_attribute("open", "")
    expect(summary).to_be_focused()


def test_a_phone_number_in_the_foot_of_a_condition_page_is_a_link(open_page, site_address):
    """RFC 3966."""
    page = open_page(f"{site_address}/vehicles/K102/index.html")
    assert page.locator(".site-foot a[href^='tel:']").count() > 0


def test_a_browser_that_asks_for_spanish_is_offered_spanish(open_page, site_address):
    page = open_page(f"{site_address}/vehicles/K102/index.html", 390, 844, locale="es-MX")
    offer = page.locator(".language-offer a")
    expect(offer).to_have_text("Español")
    expect(offer).to_be_in_viewport()
    assert page.context.cookies() == []
    offer.click()
    expect(page.locator("html")).to_have_attribute("lang", "es")
    expect(page.locator(".language-offer")).to_have_count(0)
    for locale in ("en-US", "fr-CA"):
        page = open_page(f"{site_address}/vehicles/K102/index.html", 390, 844, locale=locale)
        expect(page.locator(".language-offer")).to_have_count(0)
