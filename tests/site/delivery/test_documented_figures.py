"""The documents' figures for a demo vehicle equal the figures on its page, and the places that they name exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from tests.conftest import REPOSITORY
from tests.site.pages import all_pages

WORKED = (REPOSITORY / ".docs" / "salesperson.md").read_text("utf-8")
DOCUMENTS = [REPOSITORY / "README.md", *(REPOSITORY / ".docs").glob("*.md")]
ROWS = re.findall(r"^\| (front tires|front pads|rear pads|timing belt|brake fluid):.*\| (.*) \|$", WORKED, re.M)
KEYS = {
    "front tires": "front_tires",
    "front pads": "front_brakes",
    "rear pads": "rear_brakes",
    "timing belt": "timing_belt",
    "brake fluid": "brake_fluid",
}


@pytest.mark.parametrize(("item", "said"), ROWS)
def test_the_page_states_the_documented_range(item: str, said: str, demo_site_built: Path):
    """The ranges were worked by hand with the method of `projection.py`; the figures are those of record K101."""
    page = BeautifulSoup((demo_site_built / "vehicles/K101/index.html").read_bytes(), "html.parser")
    line = page.select_one(f'[data-key="{KEYS[item]}"]').get_text(" ").replace("\u00a0", " ").replace(" mi to", " to")
    for phrase in said.split("; "):
        assert phrase in line


def test_the_document_works_out_five_lines():
    assert len(ROWS) == len(KEYS)


def test_the_page_states_the_documented_cost_of_the_first_year(demo_site_built: Path):
    """Chances and prices were worked by hand; for how, see `plan.py`."""
    said = re.findall(r"^\| the first year, .*\| (.*) \|$", WORKED, re.M)
    page = BeautifulSoup((demo_site_built / "vehicles/K101/index.html").read_bytes(), "html.parser")
    first_year = [cell.get_text() for cell in page.select(".outlook-years tbody tr:first-child td")]
    assert said == first_year[:1]


def test_every_place_that_the_documents_name_exists(demo_site_built: Path):
    named = {
        place
        for document in DOCUMENTS
        for place in re.findall(r"`vehicles/(K\d+)/(?:#([a-z-]+))?`", document.read_text("utf-8"))
    }
    assert len(named) > 1
    for stock, anchor in named:
        page = all_pages(demo_site_built)[f"vehicles/{stock}/index.html"]
        assert not anchor or anchor in page.anchors
