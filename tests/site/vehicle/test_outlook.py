"""A shopper sets the miles they drive in a year, and the outlook follows; without scripts it is whole as well."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

from playwright.sync_api import Browser, Locator, Page, expect

from tests.conftest import OpenPage

VEHICLE = "vehicles/K101/index.html"


def months_of(page: Page, key: str) -> Locator:
    return page.locator(f'[data-key="{key}"] .outlook-months')


def test_fewer_miles_make_the_tires_last_longer_until_their_age_counts(site_at_root: str, open_page: OpenPage):
    """18,000 to 31,000 mi left (worked by hand in the README): at 12,000 a year that is 18 to 31 months. At 6,000 it
    would be 36 to 62, but 30 months from now the tires are 6 years old, when many vehicle makers say to replace them.
    """
    page = open_page(f"{site_at_root}/{VEHICLE}")
    page.fill(".outlook-number", "12000")
    expect(months_of(page, "front_tires")).to_have_text("18 to 31 months from now")
    page.fill(".outlook-number", "6000")
    expect(months_of(page, "front_tires")).to_have_text("30 to 62 months from now")


def test_a_link_carries_the_miles(site_at_root: str, open_page: OpenPage):
    """The figure goes into the address, and an address with a figure shows it at once."""
    page = open_page(f"{site_at_root}/{VEHICLE}")
    page.fill(".outlook-number", "12000")
    page.wait_for_url(lambda address: parse_qs(urlsplit(address).query) == {"a-year": ["12000"]})
    again = open_page(page.url)
    assert again.input_value(".outlook-number") == "12000"
    expect(months_of(again, "front_tires")).to_have_text("18 to 31 months from now")


def test_what_is_worked_out_is_announced(site_at_root: str, open_page: OpenPage):
    """WCAG 2.2, 4.1.3: a status message that needs no focus."""
    page = open_page(f"{site_at_root}/{VEHICLE}")
    page.fill(".outlook-number", "12000")
    status = page.locator(".outlook-form output")
    expect(status).to_contain_text("12,000")
    assert (
        status.evaluate("(element) => element.ariaLive || getComputedStyle(element) && element.localName") == "output"
    )


def test_a_figure_out_of_range_changes_nothing(site_at_root: str, open_page: OpenPage):
    """1,000 to 40,000: outside it the field is invalid, says its range, and the outlook stays as it was."""
    page = open_page(f"{site_at_root}/{VEHICLE}")
    before = page.inner_text(".outlook")
    page.fill(".outlook-number", "90000")
    assert page.inner_text(".outlook") == before
    assert "1,000 to 40,000" in page.inner_text("#outlook-hint")


def test_the_browser_says_what_the_server_said(site_at_root: str, open_page: OpenPage, browser: Browser):
    """At the store's own figure, the words worked out in the browser are those that the page was built with."""
    plain = browser.new_context(java_script_enabled=False)
    built = plain.new_page()
    built.goto(f"{site_at_root}/{VEHICLE}")
    parts = (".outlook", ".outlook-years", ".outlook-introduction", ".outlook-plan", ".outlook-left-out")
    words = [built.inner_text(part) for part in parts]
    plain.close()
    page = open_page(f"{site_at_root}/{VEHICLE}?a-year=12000")
    expect(months_of(page, "front_tires")).to_have_text("18 to 31 months from now")
    page.fill(".outlook-number", "13476")
    expect(page.locator(".outlook-form output")).to_contain_text("13,476")
    assert [page.inner_text(part) for part in parts] == words


def test_without_scripts_the_page_says_whose_miles_it_took(site_at_root: str, browser: Browser):
    """The national average per driver (Federal Highway Administration, 2018) is named."""
    plain = browser.new_context(java_script_enabled=False)
    page = plain.new_page()
    page.goto(f"{site_at_root}/{VEHICLE}")
    assert "13,476\u00a0mi a year" in page.locator(".outlook-section noscript").inner_text()
    assert not page.is_visible(".outlook-form")
    plain.close()
