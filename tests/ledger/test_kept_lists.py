"""A list of vehicles kept in an address: opened later, it lists the changes of each vehicle since.

Sources: RFC 3986 (query components), WHATWG HTML (text inserted as text is never parsed as markup).
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page, expect

from sitegen.shared_data import themes_folder
from tests.conftest import serve
from tests.ledger.conftest import change, publish_on
from tests.site.print.printing import text_of

LIST = "kept/index.html?vehicles="
MOST = 20


@pytest.fixture(scope="module")
def sold_as_another(changed: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the site after K900 was renumbered to K950 and sold."""
    store = shutil.copytree(changed, tmp_path_factory.mktemp("kept-lists") / "store")
    (store / "vehicles" / "K900").rename(store / "vehicles" / "K950")
    change(store, "K950", "stock: K900", "stock: K950\nformerly: [K900]\nsold_on: 2026-11-06")
    change(store, "K950", "status: on hold", "status: sold")
    publish_on("2026-11-07", store)
    with serve(store / "published") as address:
        yield address


def headings(page: Page) -> list[str]:
    return page.locator(".kept-place h2").all_inner_texts()


def query(page: Page) -> str:
    found: str = page.evaluate("location.search")
    return found


def test_a_kept_list_shows_changes_of_each_vehicle_and_unknown_vehicles(
    open_page, changed: Path, site: str, names: dict[int, str], tmp_path: Path
):
    """From a server and from a folder, in both languages and on paper. Nothing is stored on the device."""
    asked = f"K900.{names[1]},K901.1.abcdef,K999,%3Cimg%20src=x%20onerror=alert(1)%3E,K900.{names[2]}"
    page = open_page(f"{site}/{LIST}{asked}", width=320)
    expect(page.locator(".kept-told")).to_have_text(
        re.compile("^Changed since: .*Fjordline; Not here any more: K901, K999$")
    )
    assert headings(page) == ["Changed since", "Not here any more"]
    found = page.locator(".kept-vehicle").first
    expect(found.get_by_role("link").first).to_have_attribute("href", f"../vehicles/K900/index.html?since={names[1]}")
    expect(found.locator("li")).to_have_count(6)
    expect(found.locator("li").nth(1)).to_have_text("The price is now $12,900; it was $13,450.")
    assert "Stock K901 is no longer listed" in page.locator(".kept-vehicle").nth(1).inner_text()
    assert "We have no vehicle with this stock number" in page.locator(".kept-vehicle").nth(2).inner_text()
    expect(page.locator(".kept-notes")).to_have_text("Part of this address names no vehicle and was left out.")
    expect(page.locator("main img:not(.kept-vehicle-head img)")).to_have_count(0)
    assert query(page) == f"?vehicles=K900.{names[1]},K901.1.abcdef,K999"
    assert page.evaluate("[document.cookie, localStorage.length, sessionStorage.length]") == ["", 0, 0]
    assert page.locator(".kept-stock").bounding_box()["width"] > 100
    page.pdf(path=tmp_path / "list.pdf", format="Letter")
    printed = text_of(tmp_path / "list.pdf")
    assert "The price is now $12,900; it was $13,450." in printed
    assert f"K900.{names[1]}" in printed.replace(" ", "")
    assert "Take out" not in printed
    page.get_by_text("Menu", exact=True).click()
    page.get_by_role("link", name="Español").click()
    expect(page.locator(".kept-place h2").first).to_have_text("Con cambios desde entonces")
    expect(page.locator(".kept-vehicle").first.locator("li").nth(1)).to_have_text(
        "Ahora el precio es de $12,900; era de $13,450."
    )
    from_folder = open_page((changed / "published/kept/index.html").as_uri() + f"?vehicles=K900.{names[3]}")
    expect(from_folder.locator(".kept-vehicle li")).to_have_count(4)


def test_a_kept_list_is_edited_through_its_address_alone(open_page, site: str, names: dict[int, str]):
    page = open_page(f"{site}/vehicles/K900/index.html", width=390)
    page.locator("#ask").get_by_role("link", name="Keep this link").click()
    page.get_by_role("link", name="Keep several vehicles in one list").click()
    expect(page.locator(".kept-place h2")).to_have_text(["As you kept them"])
    expect(page.locator(".kept-vehicle")).to_contain_text("Version 4, published on November 5, 2026, is the newest.")
    assert query(page) == f"?vehicles=K900.{names[4]}"
    page.get_by_label("Add by stock number").fill("K901")
    page.get_by_role("button", name="Add").click()
    expect(page.locator(".kept-place h2")).to_have_text(["As you kept them", "Not here any more"])
    page.get_by_role("link", name="Take out K901").click()
    expect(page.locator(".kept-place h2")).to_have_text(["As you kept them"])
    assert query(page) == f"?vehicles=K900.{names[4]}"
    page.goto(f"{site}/{LIST}K900.{names[2]}")
    page.get_by_role("link", name="Keep them all as they are now").click()
    expect(page.locator(".kept-place h2")).to_have_text(["As you kept them"])
    assert query(page) == f"?vehicles=K900.{names[4]}"
    page.get_by_role("link", name="Take out").click()
    expect(page.locator(".kept-empty")).to_be_visible()
    page.goto(f"{site}/compare/index.html?vehicles=K900")
    page.get_by_role("link", name="Keep these vehicles in a list").click()
    expect(page.locator(".kept-vehicle")).to_have_count(1)
    assert query(page) == f"?vehicles=K900.{names[4]}", "kept as it is now"


def test_a_list_of_a_thousand_vehicles_loads_a_limited_number(open_page, site: str):
    page = open_page(f"{site}/{LIST}{','.join(f'X{number}' for number in range(1000))}")
    expect(page.locator(".kept-vehicle")).to_have_count(MOST)
    expect(page.locator(".kept-notes")).to_contain_text(f"A list holds {MOST} vehicles")
    expect(page.locator(".kept-add")).to_be_hidden()


def test_without_scripts_the_list_says_where_changes_are_listed(open_page, site: str):
    page = open_page(f"{site}/{LIST}K900", java_script_enabled=False)
    expect(page.locator(".kept-no-script")).to_contain_text("What changed on this page")
    expect(page.locator(".kept-add")).to_be_hidden()
    assert "noindex" in page.locator("meta[name=robots]").get_attribute("content")


def test_a_kept_former_number_redirects_and_says_sold(open_page, sold_as_another: str, names: dict[int, str]):
    """The redirect preserves the version. The list then uses the new number."""
    page = open_page(f"{sold_as_another}/vehicles/K900/index.html?since={names[4]}")
    page.wait_for_url(f"**/vehicles/K950/**?since={names[4]}")
    lines = page.locator(".kept-notice li")
    expect(lines.first).to_have_text("Sold on November 6, 2026.")
    expect(page.locator(".kept-notice")).to_contain_text("Its stock number is K950 now; it was K900.")
    page.goto(f"{sold_as_another}/{LIST}K900.{names[4]},K950.{names[3]}")
    expect(page.locator(".kept-vehicle")).to_have_count(1)
    expect(page.locator(".kept-vehicle")).to_contain_text("Sold on November 6, 2026.")
    page.goto(f"{sold_as_another}/{LIST}K900.{names[4]}")
    expect(page.locator(".kept-vehicle")).to_contain_text("Its stock number is K950 now; it was K900.")
    assert query(page) == f"?vehicles=K950.{names[4]}"


Call = Callable[..., Any]


@pytest.fixture(scope="module")
def call(browser: Browser) -> Iterator[Call]:
    """Call a function of the module that parses addresses, in the browser."""
    with serve(themes_folder() / "daylight" / "components" / "kept") as address:
        page = browser.new_page()
        page.goto(f"{address}/README.md")
        script = "async ([name, values]) => (await import('/kept-reading.mjs'))[name](...values)"
        yield lambda name, *values: page.evaluate(script, [name, values])
        page.close()


STOCKS = st.from_regex(r"\A[A-Za-z0-9]{1,6}(-[A-Za-z0-9]{1,4}){0,2}\Z")
VERSIONS = st.none() | st.from_regex(r"\A[1-9][0-9]{0,5}\.[0-9a-f]{6}\Z")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(vehicles=st.lists(st.tuples(STOCKS, VERSIONS), unique_by=lambda vehicle: vehicle[0], max_size=MOST))
def test_a_kept_address_is_parsed_back_to_its_entries(call: Call, vehicles: list[tuple[str, str | None]]):
    kept = [{"stock": stock, "version": version} for stock, version in vehicles]
    assert call("keptIn", call("keptAs", kept)) == {"vehicles": kept, "beyond": 0, "unread": 0}


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(max_size=80) | st.lists(STOCKS | st.text(max_size=9), max_size=40).map(",".join))
def test_only_stock_numbers_and_versions_are_accepted_from_an_address(call: Call, text: str):
    read = call("keptIn", json.loads(json.dumps(text)))
    assert len(read["vehicles"]) <= MOST
    for vehicle in read["vehicles"]:
        assert re.fullmatch(r"[A-Za-z0-9]+(-[A-Za-z0-9]+)*", vehicle["stock"])
        assert vehicle["version"] in (None, "unknown") or re.fullmatch(
            r"[1-9]\d{0,5}\.[0-9a-f]{6}", vehicle["version"]
        )
    items = [item for item in text.split(",") if item]
    assert len(read["vehicles"]) + read["beyond"] + read["unread"] <= len(items)
