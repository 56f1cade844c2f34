"""A shopper sets the miles they drive in a year, and the outlook follows; without scripts it is whole as well."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Browser, Locator, Page, expect

from tests.conftest import OpenPage

VEHICLE = "vehicles/K101/index.html"
READ_ON = date(2026, 9, 7)
"""The day of its odometer reading, from which the page counts."""


def time_of(page: Page, key: str) -> Locator:
    return page.locator(f'[data-key="{key}"] .outlook-time')


def test_fewer_miles_make_the_tires_last_longer_until_their_age_counts(site_at_root: str, open_page: OpenPage):
    """18,000 to 31,000 mi left (worked by hand in .docs/salesperson.md): at 12,000 a year that is 18 to 31 months.
    At 6,000 it would be 36 to 62, but on June 5, 2029, in 32 months, tires of week 24 of 2023 may be 6 years old,
    when many vehicle makers say to replace them.
    """
    page = open_page(f"{site_at_root}/{VEHICLE}", day=READ_ON)
    page.fill(".outlook-number", "12000")
    expect(time_of(page, "front_tires")).to_have_text("in 14 to 45 months")
    page.fill(".outlook-number", "6000")
    expect(time_of(page, "front_tires")).to_have_text("in 28 to 82 months")


def test_a_link_carries_the_miles(site_at_root: str, open_page: OpenPage):
    """The figure goes into the address, and an address with a figure shows it at once."""
    page = open_page(f"{site_at_root}/{VEHICLE}")
    page.fill(".outlook-number", "12000")
    page.wait_for_url(lambda address: parse_qs(urlsplit(address).query) == {"a-year": ["12000"]})
    again = open_page(page.url, day=READ_ON)
    assert again.input_value(".outlook-number") == "12000"
    expect(time_of(again, "front_tires")).to_have_text("in 14 to 45 months")


def test_a_recomputed_outlook_is_announced(site_at_root: str, open_page: OpenPage):
    """WCAG 2.2, 4.1.3: a status message that needs no focus."""
    page = open_page(f"{site_at_root}/{VEHICLE}")
    page.fill(".outlook-number", "12000")
    status = page.locator(".outlook-form output")
    expect(status).to_contain_text("12,000")
    assert (
        status.evaluate("(element) => element.ariaLive || getComputedStyle(element) && element.localName") == "output"
    )


APART = """() => {
    const boxes = [...document.querySelectorAll(".outlook-axis > span")].map(label => {
        const words = document.createRange();
        words.selectNodeContents(label);
        return words.getBoundingClientRect();
    });
    return boxes.slice(1).map((box, index) => box.left - boxes[index].right);
}"""
"""How far the names of the years stand apart, in CSS pixels."""


@pytest.mark.parametrize("path", ["vehicles/K104/index.html", "es/vehicles/K104/index.html"])
@pytest.mark.parametrize("width", [320, 390])
def test_year_labels_do_not_touch_on_a_phone(site_at_root: str, open_page: OpenPage, path, width):
    """ "Second year" and "Third year" are two."""
    page = open_page(f"{site_at_root}/{path}", width=width, height=844)
    names = page.evaluate(APART)
    assert len(names) == 3
    assert min(names) >= 5


def test_a_figure_out_of_range_changes_nothing(site_at_root: str, open_page: OpenPage):
    """1,000 to 40,000: outside it the field is invalid, says its range, and the outlook stays as it was."""
    page = open_page(f"{site_at_root}/{VEHICLE}")
    before = page.inner_text(".outlook")
    page.fill(".outlook-number", "90000")
    assert page.inner_text(".outlook") == before
    expect(page.locator("#outlook-hint")).to_be_visible()
    expect(page.locator("#outlook-hint")).to_contain_text("1,000 to 40,000")


def test_the_browser_writes_the_same_words_as_the_build(site_at_root: str, open_page: OpenPage, browser: Browser):
    """At the store's own figure, the words worked out in the browser are those that the page was built with."""
    plain = browser.new_context(java_script_enabled=False)
    built = plain.new_page()
    built.goto(f"{site_at_root}/{VEHICLE}")
    parts = (".outlook", ".outlook-introduction", ".outlook-plan", ".outlook-not-included")
    words = [built.inner_text(part) for part in parts]
    plain.close()
    page = open_page(f"{site_at_root}/{VEHICLE}?a-year=12000", day=READ_ON)
    expect(time_of(page, "front_tires")).to_have_text("in 14 to 45 months")
    page.fill(".outlook-number", "13476")
    expect(page.locator(".outlook-form output")).to_contain_text("13,476")
    assert [page.inner_text(part) for part in parts] == words


def test_the_outlook_changes_only_on_the_readers_request(site_at_root: str, open_page: OpenPage):
    """Half a year later the page still counts from the day of the reading. A tick counts from the reader's day, and
    goes along to the inventory and back. Brake fluid of October 8, 2024, 24 to 36 months: October 2026 to October
    2027. Wiper blades of September 3, 2026, 6 to 12 months."""
    page = open_page(f"{site_at_root}/{VEHICLE}", day=date(2027, 3, 2))
    page.locator("#outlook").scroll_into_view_if_needed()
    expect(page.locator(".outlook-introduction")).to_contain_text("counted from September 7, 2026, the day")
    expect(time_of(page, "brake_fluid")).to_have_text("October 2026 to October 2027")
    page.locator(".outlook-grounds > summary").click()
    page.check(".outlook-from-today")
    expect(page.locator(".outlook-introduction")).to_contain_text("counted from today, March 2, 2027")
    expect(page.locator(".outlook-form output")).to_contain_text("Counted from today.")
    expect(time_of(page, "brake_fluid")).to_have_text("October 2027 at the latest")
    expect(page.locator('[data-key="brake_fluid"] .outlook-band')).to_have_text("Due now to first year")
    expect(time_of(page, "wiper_blades")).to_have_text("March to September 2027")
    page.locator('a[href$="index.html"]').first.click()
    page.wait_for_url(lambda address: parse_qs(urlsplit(address).query).get("from") == ["today"])


def test_without_scripts_the_page_names_its_yearly_distance(site_at_root: str, browser: Browser):
    """The national average per driver (Federal Highway Administration, 2018) is named."""
    plain = browser.new_context(java_script_enabled=False)
    page = plain.new_page()
    page.goto(f"{site_at_root}/{VEHICLE}")
    assert "13,476\u00a0mi a year" in page.locator(".outlook-section > noscript").inner_text()
    assert "The U.S. average is 13,476" in (page.locator(".outlook-section").text_content() or "")
    assert not page.is_visible(".outlook-form")
    plain.close()


def test_a_tap_on_a_line_shows_its_basis(site_at_root: str, open_page: OpenPage):
    page = open_page(f"{site_at_root}/{VEHICLE}", day=READ_ON)
    line = page.locator('.outlook-line[data-key="front_tires"]')
    line.click()
    expect(line).to_contain_text("From its own wear: the left front tire had 10/32 in when new")
    line.get_by_text("Ask about this").click()
    expect(line.get_by_role("link", name="Text")).to_be_visible()
    line.locator(".outlook-item").click()
    expect(line).not_to_contain_text("From its own wear")


def test_a_filled_bar_means_a_measurement_of_this_vehicle(demo_site_built: Path):
    """Of K101 the brakes and tires have a known past; its battery, oil and coolant go by usual lives."""
    page = BeautifulSoup((demo_site_built / VEHICLE).read_bytes(), "html.parser")
    own = {line["data-key"] for line in page.select(".outlook-line") if line.select(".outlook-bar-own")}
    told = {row["data-line"] for row in page.select("[data-line]") if "From its own wear" in row.get_text()}
    assert own == told == {"front_tires", "rear_tires", "front_brakes", "rear_brakes"}


def test_the_address_of_a_line_opens_its_basis(site_at_root: str, open_page: OpenPage):
    page = open_page(f"{site_at_root}/{VEHICLE}#outlook-front-tires", day=READ_ON)
    expect(page.locator("#outlook-front-tires .outlook-ground")).to_be_in_viewport()
