"""The list of vehicles as a shopper uses it, in a real browser: with scripts and without, by keyboard, on a phone.

Outside sources: WCAG 2.2 (4.1.3 Status Messages, 2.1.1 Keyboard, 1.4.10 Reflow), axe-core; RFC 4180 by the reader of
Python's csv module; schema.org. What fits is counted on the store's own files, not on what the pages say.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Page, expect

from sitegen.commands.shared.composition import BuildRequest, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.inventory.lists import FEWEST_TO_CHOOSE_AMONG, MOST_ON_A_PAGE
from tests.builders import BASE_INSPECTION, Plain, merged, write_store
from tests.conftest import run_sitegen, serve
from tests.inventories import varied_vehicles
from tests.site.access.test_accessibility import AXE, LEVELS, RUN

COUNT = 64
"""Three pages of cards."""
LOCATIONS = [
    {"name": "North lot", "address": ["2 Sallow Road", "Quillmarsh"], "phone": "+1 202 555 0150"},
    {"name": "South lot", "address": ["90 Ferrow Lane", "Quillmarsh"], "phone": "+1 202 555 0160"},
]


def vehicles() -> list[Plain]:
    """Return their changes: one without tread figures, one on hold, one that is all the shopper asks for."""
    changes = list(varied_vehicles(COUNT))
    for number, change in enumerate(changes):
        change["location"] = LOCATIONS[number % 2]["name"]
    changes[0] |= {"vehicle": {**changes[0]["vehicle"], "drive": "awd"}, "price": 9_000, "tires": {}}
    for wheel in ("left_front", "right_front", "left_rear", "right_rear"):
        changes[0]["tires"][wheel] = ...
    changes[1] |= {"status": "on hold"}
    changes[2] |= {"vehicle": {**changes[2]["vehicle"], "drive": "awd"}, "price": 14_950}
    changes[2]["defects"] = [{**BASE_INSPECTION["defects"][0], "affects": "looks"}]
    for tire in changes[2]["tires"].values():
        tire["tread"] = {"outer": "7/32 in", "center": "6/32 in", "inner": "5/32 in"}
    return changes


RECORDS = [merged(BASE_INSPECTION, change) for change in vehicles()]


def lowest_tread(record: Plain) -> int | None:
    depths = [
        int(depth.partition("/")[0])
        for wheel in record["tires"].values()
        if isinstance(wheel, dict)
        for depth in wheel["tread"].values()
    ]
    return min(depths, default=None)


def affecting(record: Plain) -> set[str]:
    return {defect["affects"] for defect in record["defects"]}


def fitting() -> set[str]:
    """An all-wheel drive with at least 5/32 in, no rust or other defect that affects function, at most 15,000."""
    return {
        record["stock"]
        for record in RECORDS
        if record["vehicle"]["drive"] == "awd"
        and (lowest_tread(record) or 0) >= 5
        and affecting(record) <= {"looks"}
        and record["price"] <= 15_000
    }


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = write_store(
        tmp_path_factory.mktemp("inventory") / "store",
        vehicles(),
        settings={"locations": LOCATIONS},
        photo_size=(320, 240),
    )
    done = run_sitegen("build", store)
    assert done.returncode == 0, done.stderr
    return store / "published"


@pytest.fixture(scope="module")
def address(published: Path) -> Iterator[str]:
    with serve(published) as served:
        yield served


def stocks(page: Page) -> list[str]:
    return page.locator(".vehicle-cards .vehicle-card").evaluate_all("cards => cards.map(card => card.dataset.stock)")


def counted(page: Page, number: int) -> None:
    expect(page.locator(".filters-count")).to_contain_text(re.compile(rf"^{number} of {COUNT} (vehicles? fits?)\."))
    expect(page.locator(".vehicle-cards:not([aria-busy])")).to_be_attached()  # all cards of the page have come


def ask(page: Page) -> None:
    page.get_by_label("Drive").select_option("awd")
    page.get_by_label("Lowest tread at least").select_option("5")
    page.get_by_label("No defect that affects how it works or safety").check()
    page.get_by_label("Price at most").fill("15000")


def test_the_shopper_finds_the_vehicles_that_fit_and_no_others(open_page, address):
    page = open_page(f"{address}/index.html")
    ask(page)
    counted(page, len(fitting()))
    assert set(stocks(page)) == fitting()
    assert "N00002" in fitting()
    # WCAG 2.2, 4.1.3: the count is told without taking the focus.
    assert page.locator(".filters-count").get_attribute("role") == "status"
    # The vehicle without tread figures might fit, and is not passed over in silence.
    expect(page.locator(".filters-count")).to_contain_text("not measured or not given")


def test_filters_are_in_the_address_and_the_back_button_undoes_them(open_page, address):
    page = open_page(f"{address}/index.html")
    ask(page)
    counted(page, len(fitting()))
    page.wait_for_url(lambda address: "15000" in address)
    other = open_page(page.url)
    counted(other, len(fitting()))
    assert set(stocks(other)) == fitting()
    assert other.get_by_label("Price at most").input_value() == "15000"
    other.get_by_label("Drive").select_option("")
    other.go_back()
    counted(other, len(fitting()))
    assert other.get_by_label("Drive").input_value() == "awd"


def test_an_empty_result_names_the_filter_to_remove(open_page, address):
    page = open_page(f"{address}/index.html")
    page.get_by_label("Words").fill("N00002")
    page.get_by_label("Price at most").fill("14949")
    expect(page.locator(".filters-count")).to_contain_text("No vehicle fits all of this")
    assert stocks(page) == []
    page.get_by_role("button", name="Price at most").click()
    counted(page, 1)
    assert stocks(page) == ["N00002"]
    expect(page.get_by_label("Price at most")).to_be_focused()


def test_cards_made_by_script_equal_the_pages_cards(open_page, address):
    """The same vehicles, in the same order, word for word and picture for picture."""
    page = open_page(f"{address}/index.html")
    given = page.locator(".vehicle-cards .vehicle-card")
    expect(given).to_have_count(MOST_ON_A_PAGE)
    read = "cards => cards.map(card => [card.innerText, card.querySelector('a').href, card.querySelector('img').src])"
    before = given.evaluate_all(read)
    page.get_by_label("Model year from").fill("1990")
    counted(page, COUNT)
    assert given.evaluate_all(read) == before


def test_a_list_is_parted_into_pages_that_hold_every_vehicle_once(open_page, address):
    page = open_page(f"{address}/index.html?sort=price")
    prices = {record["stock"]: record["price"] for record in RECORDS}
    cheapest = "|".join(stock for stock, price in prices.items() if price == min(prices.values()))
    # Until the script has put them in order, the next page is that of the plain list.
    expect(page.locator(".vehicle-card").first).to_have_attribute("data-stock", re.compile(f"^({cheapest})$"))
    found: list[str] = []
    for number in (1, 2, 3):
        expect(page.locator(".pager-place")).to_have_text(f"Page {number} of 3")
        expect(page.locator(".vehicle-cards:not([aria-busy])")).to_be_attached()
        assert 0 < len(stocks(page)) <= MOST_ON_A_PAGE
        found += stocks(page)
        if number < 3:
            page.get_by_role("link", name="Next").click()
    assert [prices[stock] for stock in found] == sorted(prices.values())
    page.go_back()
    expect(page.locator(".pager-place")).to_have_text("Page 2 of 3")
    page.reload()
    expect(page.locator(".pager-place")).to_have_text("Page 2 of 3")
    assert set(stocks(page)) <= set(found[MOST_ON_A_PAGE : 2 * MOST_ON_A_PAGE])
    page.get_by_role("button", name="Clear").click()
    expect(page.locator(".filters-clear")).to_be_hidden()
    assert len(stocks(page)) == MOST_ON_A_PAGE


def test_without_scripts_every_vehicle_is_found_by_links_alone(published):
    """The list in pages, and each vehicle once in the pages by body, by make and by price."""

    def cards(page: str) -> list[str]:
        soup = BeautifulSoup((published / page).read_text("utf-8"), "html.parser")
        found = [str(card["data-stock"]) for card in soup.select(".vehicle-cards .vehicle-card")]
        assert 0 < len(found) <= MOST_ON_A_PAGE, page
        further = soup.select_one(".pager a[rel=next]")
        return found + (cards(str(Path(page).parent / further["href"])) if further else [])

    everything = {record["stock"] for record in RECORDS}
    assert set(cards("index.html")) == everything
    browse = BeautifulSoup((published / "index.html").read_text("utf-8"), "html.parser").select(".browse ul")
    assert len(browse) == 3
    for group in browse:
        found = [stock for link in group.select("a") for stock in cards(str(link["href"]))]
        assert sorted(found) == sorted(everything)
        numbers = [int(re.search(r"\((\d+)\)$", link.get_text())[1]) for link in group.select("a")]
        assert sum(numbers) == COUNT


def test_without_scripts_no_control_is_shown_that_would_do_nothing(open_page, address):
    page = open_page(f"{address}/index.html", java_script_enabled=False)
    assert page.locator("form:visible, input:visible, button:visible").count() == 0
    page.get_by_role("link", name="Browse by body, make or price").click()
    page.get_by_role("link", name="SUV").click()
    assert page.locator("h1").inner_text() == "Vehicles for sale: SUV"
    plain = open_page(f"{address}/compare/index.html?vehicles=N00001,N00002", java_script_enabled=False)
    assert plain.get_by_text("needs scripts").is_visible()


def test_the_form_is_filled_and_vehicles_are_chosen_by_keyboard_alone(open_page, address):
    """WCAG 2.2, 2.1.1 Keyboard."""
    page = open_page(f"{address}/index.html")
    page.get_by_label("Words").focus()
    page.keyboard.type("N0000")
    counted(page, 10)
    boxes = page.get_by_role("checkbox", name=re.compile("^Compare"))
    for place in (0, 1):
        boxes.nth(place).focus()
        page.keyboard.press("Space")
    page.get_by_role("link", name="Compare them").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".comparison thead th")).to_have_count(2)


def test_two_vehicles_are_compared_in_a_table_with_headings(open_page, address):
    page = open_page(f"{address}/compare/index.html?vehicles=N00001,N00002&a-year=9000")
    table = page.get_by_role("table", name="Vehicles side by side")
    expect(table.get_by_role("columnheader")).to_have_count(2)
    row = table.get_by_role("row").filter(has=page.get_by_role("rowheader", name="Left front", exact=True)).first
    figures = row.locator(".wheel-figure").all_inner_texts()
    expected = [
        min(int(depth.partition("/")[0]) for depth in RECORDS[place]["tires"]["left_front"]["tread"].values())
        for place in (1, 2)
    ]
    assert [figure.replace("\u00a0", " ") for figure in figures] == [f"{depth}/32 in" for depth in expected]
    # One scale: the same number of ticks on every ruler of the table's first group.
    ticks = table.locator("tbody").nth(1).locator(".ruler-ticks")
    assert (
        len({drawing.count("M") for drawing in ticks.evaluate_all("all => all.map(one => one.getAttribute('d'))")})
        == 1
    )
    before = table.get_by_role("row").filter(has_text="Over three years").inner_text()
    page.get_by_label("Your miles a year").fill("30000")
    expect(table.get_by_role("row").filter(has_text="Over three years")).not_to_have_text(before)
    page.wait_for_url("**a-year=30000**")
    page.get_by_role("link", name="Take out").first.click()
    expect(page.locator(".comparison thead th")).to_have_count(1)


def test_each_vehicles_page_has_the_address_and_telephone_of_its_location(published):
    for stock, location in (("N00000", LOCATIONS[0]), ("N00001", LOCATIONS[1])):
        page = BeautifulSoup((published / "vehicles" / stock / "index.html").read_text("utf-8"), "html.parser")
        called = {link["href"] for link in page.select("a[href^='tel:']")}
        assert called == {f"tel:{str(location['phone']).replace(' ', '')}"}
        assert location["address"][0] in page.select_one("footer address").get_text()


def test_the_list_can_be_narrowed_to_one_location(open_page, address):
    page = open_page(f"{address}/index.html?location=South+lot")
    counted(page, COUNT // 2)


@pytest.mark.parametrize(
    ("place", "shown"),
    [
        ("index.html?sort=price&tread=5", ".filters-count"),
        ("index.html?words=nothing&price=1", ".filters-count"),
        ("index.html?compare=N00001,N00002", ".compare-bar-words"),
        ("compare/index.html?vehicles=N00001,N00002", ".comparison"),
        ("browse/body-suv/index.html", ".vehicle-cards"),
        ("data/index.html", ".data-columns"),
    ],
)
def test_axe_finds_no_violation_and_nothing_scrolls_sideways(open_page, address, place, shown):
    page = open_page(f"{address}/{place}")
    expect(page.locator(shown)).not_to_be_empty()
    page.evaluate("document.querySelectorAll('.filters').forEach(part => { part.open = true })")
    page.evaluate(AXE)
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        faults, _ = page.evaluate(RUN, LEVELS)
        assert not faults, width
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), width


def test_the_table_for_machines_is_rfc_4180_and_says_what_the_records_say(published):
    text = (published / "inventory.csv").read_bytes().decode("utf-8")
    assert text.count("\r\n") == text.count("\n") == COUNT + 1
    rows = {row["stock"]: row for row in csv.DictReader(io.StringIO(text, newline=""), strict=True)}
    assert set(rows) == {record["stock"] for record in RECORDS}
    for record in RECORDS:
        row, tread = rows[record["stock"]], lowest_tread(record)
        assert float(row["price"]) == record["price"]
        assert row["lowest_tread_32nds_in"] == ("" if tread is None else str(float(tread)))
        assert row["location"] == record["location"]


def test_the_list_for_machines_is_an_item_list_of_cars(published):
    """schema.org: ItemList, numberOfItems, ListItem with position and item; Car with Offer."""
    whole = json.loads((published / "inventory.json").read_text("utf-8"))
    assert (whole["@context"], whole["@type"], whole["numberOfItems"]) == ("https://schema.org", "ItemList", COUNT)
    assert [item["position"] for item in whole["itemListElement"]] == list(range(1, COUNT + 1))
    cars = {item["item"]["sku"]: item["item"] for item in whole["itemListElement"]}
    assert {car["@type"] for car in cars.values()} == {"Car"}
    assert cars["N00001"]["offers"]["availability"] == "https://schema.org/Reserved"
    assert cars["N00001"]["offers"]["seller"]["telephone"] == LOCATIONS[1]["phone"]


def test_the_data_page_names_every_column(published):
    page = BeautifulSoup((published / "data" / "index.html").read_text("utf-8"), "html.parser")
    header = (published / "inventory.csv").read_text("utf-8").splitlines()[0].split(",")
    assert [cell.get_text() for cell in page.select(".data-columns dt")] == header


@pytest.mark.parametrize("many", [1, FEWEST_TO_CHOOSE_AMONG - 1, FEWEST_TO_CHOOSE_AMONG])
def test_a_store_with_few_vehicles_has_no_filters(tmp_path, many):
    """Whether there is something to narrow is decided with the lists: all three ways to choose, or none."""
    store = write_store(tmp_path / "store", list(varied_vehicles(many)))
    site = compose(BuildRequest(store), Terminal(io.StringIO(), io.StringIO())).site
    assert site is not None
    pages = site.pages
    index = BeautifulSoup(pages["index.html"], "html.parser")
    ways = [bool(index.select(way)) for way in (".inventory-filters", ".browse", "a[href='#browse']")]
    ways.append(any(path.startswith("browse/") for path in pages))
    assert ways == [many >= FEWEST_TO_CHOOSE_AMONG] * 4
    assert len(index.select(".vehicle-card")) >= many
