"""What to plan for in the first year is the same figure on every surface, in each language."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from tests.conftest import OpenPage, run_sitegen

STOCKS = ("K101", "K102", "K103", "K104", "K105", "K106", "K108")


def figures(words: str) -> list[int]:
    """Return the amounts of dollars in a text."""
    return [int(found.replace(",", "")) for found in re.findall(r"\$([\d,]+)", words)]


def soup(file: Path) -> BeautifulSoup:
    return BeautifulSoup(file.read_bytes(), "html.parser")


def one(parent: Tag, selector: str) -> str:
    found = parent.select_one(selector)
    assert found is not None, selector
    return found.get_text(" ")


@pytest.fixture(scope="module")
def rows(demo_site_built: Path) -> dict[str, dict[str, object]]:
    """Return the rows by which the English list filters and sorts."""
    found: dict[str, dict[str, object]] = {}
    for file in (demo_site_built / "inventory").glob("*.js"):
        if " = " in (text := file.read_text("utf-8")) and '"upkeep"' in text:
            content = json.loads(text.partition(" = ")[2])
            for row in content["rows"]:
                values = dict(zip(content["fields"], row, strict=True))
                if "$" in str(values["figures"]) and "Plan for" not in str(values["price_words"]):
                    found.setdefault(str(values["stock"]), values)
    return found


@pytest.mark.parametrize("stock", STOCKS)
@pytest.mark.parametrize("folder", ["", "es"])
def test_every_surface_shows_the_same_figures(
    stock: str, folder: str, demo_site_built: Path, rows: dict[str, dict[str, object]]
):
    """Page, first lines, share picture, card, row of the filter and sort order, JSON, CSV, table of all costs."""
    page = soup(demo_site_built / folder / "vehicles" / stock / "index.html")
    sums = {
        key: figures(one(page, f'[data-sum="{key}"] .outlook-sum-about'))[0] for key in ("due", "no_record", "total")
    }
    likely = figures(one(page, '[data-sum="total"] .outlook-sum-likely'))
    both = [sums["due"], sums["no_record"]] if sums["no_record"] else [sums["due"]]

    assert figures(one(page, ".first-plan")) == both
    shared = page.select_one('meta[property="og:image:alt"]')
    assert shared is not None
    assert figures(str(shared["content"]))[-len(both) :] == both

    cards = soup(demo_site_built / folder / "index.html").select(".vehicle-card")
    card = next(each for each in cards if f"/{stock}/" in str(each))
    told = figures(card.get_text(" "))
    assert all(figure in told for figure in (*both, *likely))
    assert {rows[stock]["upkeep"], rows[stock]["in_all"]} == {likely[1], figures(one(page, ".costs-brief"))[0]}

    listed = json.loads((demo_site_built / "inventory.json").read_text("utf-8"))
    car = next(each["item"] for each in listed["itemListElement"] if each["item"]["sku"] == stock)
    values = {each["name"]: each for each in car["additionalProperty"]}
    table = csv.DictReader(io.StringIO((demo_site_built / "inventory.csv").read_text("utf-8"), newline=""))
    row = next(each for each in table if each["stock"] == stock)
    for key, figure in sums.items():
        assert values[f"first_year_{key}"]["value"] == figure
        assert int(row[f"first_year_{key}"]) == figure
    assert [values["first_year_total"][end] for end in ("minValue", "maxValue")] == likely
    assert int(row["in_all_first_year"]) == figures(one(page, ".costs-brief"))[0]
    in_three = figures(one(page, '[data-row="three_total"] td'))[0]
    assert int(row["in_all_three_years"]) == in_three


def test_the_comparison_and_the_desk_show_them_too(
    site_at_root: str, open_page: OpenPage, demo_store: Path, tmp_path: Path
):
    """The comparison works them out by script, with no miles set; the desk quotes the first lines."""
    page = open_page(f"{site_at_root}/vehicles/K102/index.html")
    sums = page.locator(".outlook-sum-about").all_text_contents()
    first = page.locator(".first-plan").text_content() or ""
    total = page.locator(".costs-brief").text_content() or ""
    page.goto(f"{site_at_root}/compare/?vehicles=K102,K104")
    page.locator(".comparison").wait_for()
    shown = page.locator(".comparison").inner_text()
    assert all(figure in shown for figure in sums)
    assert f"about ${figures(total)[0]:,}" in shown
    assert run_sitegen("desk", demo_store, "--to", tmp_path / "desk").returncode == 0
    texts = [file.read_text("utf-8") for file in (tmp_path / "desk").rglob("*K102*/**/*.html")]
    texts += [file.read_text("utf-8") for file in (tmp_path / "desk").rglob("*K102*.html")]
    assert any(first in BeautifulSoup(text, "html.parser").get_text() for text in texts)
