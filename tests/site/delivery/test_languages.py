"""The demo site in each language: links between the versions, and marks on untranslated texts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from urllib.parse import urljoin
from xml.etree import ElementTree

import pytest
import yaml
from bs4.element import NavigableString
from playwright.sync_api import expect

from tests.conftest import REPOSITORY
from tests.site.pages import ParsedPage, all_pages

OWN_NAMES = {"en": "English", "es": "Español"}
"""As CLDR has them (characters of a language's own name, capitalized as a label)."""
SETTINGS = yaml.safe_load((REPOSITORY / "demo_site" / "site.yaml").read_text("utf-8"))
NAMESPACES = {"map": "http://www.sitemaps.org/schemas/sitemap/0.9", "xhtml": "http://www.w3.org/1999/xhtml"}


@pytest.fixture
def pages(demo_site_built: Path) -> dict[str, ParsedPage]:
    return all_pages(demo_site_built)


def alternates(page: ParsedPage) -> dict[str, str]:
    links = page.soup.select("head link[rel=alternate][hreflang]")
    return {str(link["hreflang"]): str(link["href"]) for link in links}


def test_each_page_leads_to_itself_in_the_other_languages_and_back(pages):
    """HTML: `lang` is the language of the link's own words, `hreflang` that of the page it leads to."""
    for path, page in pages.items():
        here = page.soup.html["lang"]
        links = page.soup.select("header .language-link")
        assert {link["hreflang"] for link in links} == set(OWN_NAMES) - {here}, path
        for link in links:
            other = pages[page.target(link["href"])[0]]
            assert link["lang"] == link["hreflang"] == other.soup.html["lang"]
            assert link.get_text() == OWN_NAMES[link["lang"]]
            back = {other.target(one["href"])[0] for one in other.soup.select(f"header [hreflang={here}]")}
            assert back == {path} or path == "404.html"


def test_each_page_names_its_other_languages_to_search_programs_and_they_name_it(pages):
    """Search programs heed hreflang only where both pages name each other, themselves too (RFC 8288)."""
    by_address = {
        page.soup.find("link", rel="canonical")["href"]: page for page in pages.values() if alternates(page)
    }
    assert len(by_address) > 20
    for address, page in by_address.items():
        named = alternates(page)
        assert set(named) == {*OWN_NAMES, "x-default"}
        assert named[page.soup.html["lang"]] == address
        assert named["x-default"] == named[SETTINGS["languages"][0]]
        for language in OWN_NAMES:
            assert by_address[named[language]].soup.html["lang"] == language
            assert alternates(by_address[named[language]]) == named


def test_the_sitemap_names_the_same_languages_as_the_pages(pages, demo_site_built):
    listing = ElementTree.parse(demo_site_built / "sitemap.xml")
    in_pages = {
        page.soup.find("link", rel="canonical")["href"]: alternates(page)
        for page in pages.values()
        if alternates(page)
    }
    listed = {
        entry.findtext("map:loc", namespaces=NAMESPACES): {
            link.get("hreflang"): link.get("href") for link in entry.findall("xhtml:link", NAMESPACES)
        }
        for entry in listing.iterfind("map:url", NAMESPACES)
    }
    assert len(listed) > 20
    for address, named in listed.items():
        assert {**named, "x-default": named[SETTINGS["languages"][0]]} == in_pages[address]


def test_changing_the_language_keeps_the_place_and_the_figure_that_was_set(open_page, site_address):
    page = open_page(f"{site_address}/vehicles/K102/index.html?a-year=8000#defects", width=390)
    page.locator("#outlook-a-year").fill("9500")
    page.get_by_text("Menu", exact=True).click()
    page.get_by_role("link", name="Español").click()
    page.wait_for_url("**/es/vehicles/K102/index.html?a-year=9500#defects")
    assert page.locator("#outlook-a-year").input_value() == "9500"
    expect(page.locator(".outlook-introduction")).to_contain_text("9,500")


def test_without_scripts_the_language_can_be_changed_too(open_page, site_address):
    page = open_page(f"{site_address}/about/index.html", java_script_enabled=False)
    page.get_by_role("link", name="Español").click()
    page.wait_for_url(urljoin(f"{site_address}/", "es/about/index.html"))
    assert page.get_by_role("heading", level=1).inner_text() == "Quiénes somos"


FREE_TEXT = {"shows", "words", "done", "note", "what", "part", "name", "by", "engine", "color", "interior"}


def texts_of(record: object) -> Iterator[str]:
    """Return what stands in a record as plain strings, for people to read."""
    if isinstance(record, dict):
        for key, value in record.items():
            if key in FREE_TEXT and isinstance(value, str):
                yield value
            elif key in ("has", "lacks"):
                yield from value
            else:
                yield from texts_of(value)
    elif isinstance(record, list):
        for item in record:
            yield from texts_of(item)


def language_of(node: NavigableString) -> str:
    return next(str(parent["lang"]) for parent in node.parents if parent.has_attr("lang"))


def test_untranslated_texts_are_marked_everywhere(pages):
    """WCAG 2.2, 3.1.2 Language of Parts. K107 is written in English only."""
    record = yaml.safe_load((REPOSITORY / "demo_site" / "vehicles" / "K107" / "inspection.yaml").read_text("utf-8"))
    for path in ("es/vehicles/K107/index.html", "es/vehicles/K107/disclosure-sheet.html"):
        main = pages[path].soup.main
        told = 0
        for text in {text for text in texts_of(record) if " " in text}:
            nodes = [node for node in main.find_all(string=True) if text in node and node.parent.name != "script"]
            assert {language_of(node) for node in nodes} <= {"en"}, (path, text)
            pictures = [image for image in main.find_all("img") if text in image["alt"]]
            assert {image.get("lang") for image in pictures} <= {"en"}
            told += len(nodes) + len(pictures)
        assert told > 10


def test_messages_are_never_marked_as_the_stores_language(pages):
    """In a sentence that quotes the shop, the quote alone is in the other language."""
    marked = [node.get_text() for node in pages["es/vehicles/K107/index.html"].soup.main.select("[lang=en]")]
    ours = ("Medido", "Inspección", "Delantera", "Trasera", "Rueda", "necesita")
    assert marked
    assert not [text for text in marked if text.startswith(ours)]


def test_a_page_notes_once_that_texts_are_untranslated(pages):
    """The shop's words are in English on these Spanish pages; a title's brand stays as it is printed (K108)."""
    said = "Algunas palabras de esta página están en inglés, tal como las escribió el taller."
    for path, page in pages.items():
        expected = 1 if page.soup.main.select("[lang]") else 0
        assert page.soup.main.get_text().count(said) + len(page.soup.select(".other-languages")) == 2 * expected, path
    saying = {path for path, page in pages.items() if page.soup.select(".other-languages")}
    assert {"es/vehicles/K107/index.html", "es/vehicles/K108/index.html"} <= saying
    assert not {path for path in saying if "K107" not in path and "K108" not in path}


@pytest.mark.parametrize("folder", ["", "es/"])
@pytest.mark.parametrize("stock", ["K102", "K106"])
def test_scripts_write_the_outlook_as_the_page_had_it(open_page, site_address, folder: str, stock: str):
    """Chromium's Intl against Babel, both of CLDR: at the store's own distance a year no word or figure changes."""
    parts = (
        ".outlook-introduction",
        ".outlook",
        ".outlook-table tr",
        ".outlook-years",
        ".outlook-not-included",
        ".outlook-plan",
    )
    bars = "rects => rects.map((rect) => rect.getAttribute('x') + ' ' + rect.getAttribute('width'))"
    address = f"{site_address}/{folder}vehicles/{stock}/index.html"

    def told(page) -> list[list[str]]:
        words = [
            text.split() for part in (*parts, ".outlook-notes") for text in page.locator(part).all_text_contents()
        ]
        return [*words, page.locator(".outlook-line .outlook-bar").evaluate_all(bars)]

    before = told(open_page(address, java_script_enabled=False))
    page = open_page(address, day=date(2026, 9, 1))  # before any reading, so that it counts from that of the page
    a_year = page.locator("#outlook-a-year").input_value()
    introduction = page.locator(".outlook-introduction").inner_text()
    page.locator("#outlook-a-year").fill("20000")
    expect(page.locator(".outlook-introduction")).to_contain_text("20,000")
    page.locator("#outlook-a-year").fill(a_year)
    expect(page.locator(".outlook-introduction")).to_have_text(introduction)
    assert told(page) == before
