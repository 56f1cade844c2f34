"""What it costs in all: what is ticked goes into price, outlook, messages and address; nothing is beforehand."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Browser, Page, expect

from tests.conftest import OpenPage

VEHICLE = "vehicles/K104/index.html"
AMOUNT = re.compile(r"[\d,]+")


def dollars(words: str) -> int:
    found = AMOUNT.search(words)
    assert found is not None
    return int(found[0].replace(",", ""))


def row(page: Page, key: str) -> int:
    return dollars(page.locator(f'[data-row="{key}"] td').text_content() or "")


@pytest.mark.parametrize("folder", ["", "es/"])
def test_the_table_adds_up_with_nothing_ticked(demo_site_built: Path, folder: str):
    """Price, fees and title are the purchase; upkeep of one year and of three is that of the section above."""
    page = BeautifulSoup((demo_site_built / folder / VEHICLE).read_bytes(), "html.parser")
    rows = {tr["data-row"]: dollars(tr.td.text) for tr in page.select(".costs-table tr") if not tr.has_attr("hidden")}
    assert {"price", "fee", "title", "purchase", "first", "first_total", "three", "three_total"} == set(rows)
    assert rows["purchase"] == rows["price"] + rows["fee"] + rows["title"] == 8_900 + 125 + 98
    assert rows["first_total"] == rows["purchase"] + rows["first"]
    assert rows["three_total"] == rows["purchase"] + rows["three"]
    total = page.select_one('[data-sum="total"] .outlook-sum-about').text
    assert rows["first"] == dollars(total)
    assert str(rows["first_total"]) in page.select_one(".costs-brief").text.replace(",", "")
    assert not page.select(".costs-box[checked]")


def test_ticked_work_is_added_leaves_the_outlook_and_goes_into_messages_and_the_address(
    demo_site_built: Path, open_page: OpenPage
):
    """From a folder, by keyboard alone. $820 for the belt is paid now, and its line is not budgeted for any more."""
    page = open_page(f"{(demo_site_built / VEHICLE).as_uri()}")
    before = {key: row(page, key) for key in ("purchase", "first")}
    page.locator(".costs-brief").press("Enter")
    page.locator('.costs-box[value="timing_belt"]').press("Space")
    page.locator(".costs-choice").select_option("120")
    expect(page.locator('[data-row="work"] td')).to_have_text("$820")
    expect(page.locator('[data-row="purchase"] td')).to_have_text(f"${before['purchase'] + 820 + 145:,}")
    belt = page.locator('[data-key="timing_belt"] .outlook-band')
    expect(belt).to_have_text("Done before delivery, as you ticked.")
    assert row(page, "first") < before["first"]
    assert row(page, "first_total") == row(page, "purchase") + row(page, "first")
    expect(page.locator(".costs-told")).to_contain_text(f"{row(page, 'first_total'):,}")
    assert parse_qs(urlsplit(page.url).query) == {"work-K104": ["timing_belt"], "delivery": ["120"]}
    for kind in ("sms", "mailto"):
        message = unquote(page.locator(f'.costs a[href^="{kind}"]').get_attribute("href") or "")
        assert "Timing belt ($820)" in message
        assert f"${row(page, 'purchase'):,}" in message
    assert page.evaluate("localStorage.length + sessionStorage.length + document.cookie.length") == 0


def test_an_address_with_ticked_work_shows_it_and_takes_it_along(site_at_root: str, open_page: OpenPage):
    page = open_page(f"{site_at_root}/{VEHICLE}?work-K104=timing_belt,right-rear-hub-cap&delivery=30")
    expect(page.locator('[data-row="work"] td')).to_have_text("$850")
    assert page.locator(".costs").get_attribute("open") is not None
    paid = row(page, "purchase")
    page.goto(f"{site_at_root}/compare/?vehicles=K104,K102&work-K104=timing_belt,right-rear-hub-cap&delivery=30")
    cells = page.locator("tr:has(th:text-is('To buy it')) td")
    expect(cells.first).to_have_text(f"${paid:,}")
    assert "To buy it" in page.locator(".comparison").inner_text()


def test_without_scripts_offers_and_delivery_stand_there_and_nothing_can_be_ticked(
    browser: Browser, demo_site_built: Path
):
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto((demo_site_built / VEHICLE).as_uri())
    page.locator(".costs-brief").click()
    shown = page.locator(".costs").inner_text()
    assert "Timing belt" in shown
    assert "$820" in shown
    assert "Up to 120\u00a0mi away: $145" in shown
    assert "sales tax and county taxes" in shown
    assert not page.locator(".costs-box:visible, .costs-choice:visible").count()
    page.context.close()
