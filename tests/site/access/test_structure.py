"""The built demo site, read as files: every page is whole by itself, and every address in it leads somewhere."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import pytest
import yaml

from tests.conftest import REPOSITORY
from tests.site.pages import PAGE_TYPES, ParsedPage, all_pages

SETTINGS = yaml.safe_load((REPOSITORY / "demo_site" / "site.yaml").read_text("utf-8"))
STOCKS = sorted(folder.name for folder in (REPOSITORY / "demo_site" / "vehicles").iterdir())


@pytest.fixture
def pages(demo_site_built: Path) -> dict[str, ParsedPage]:
    return all_pages(demo_site_built)


def kept_for_search(pages: dict[str, ParsedPage]) -> dict[str, ParsedPage]:
    """Return the pages that search programs may list: all but the not-found page and what is there to be printed."""
    return {path: page for path, page in pages.items() if not page.soup.select("meta[name=robots][content=noindex]")}


def test_every_vehicle_and_own_page_is_at_its_agreed_address(pages):
    expected = {"index.html", "about/index.html", "how-we-inspect/index.html"}
    expected |= {f"vehicles/{stock}/index.html" for stock in STOCKS}
    expected |= {f"{language}/{path}" for language in SETTINGS["languages"][1:] for path in expected}
    assert expected <= set(pages)
    assert set(PAGE_TYPES) <= expected


def test_every_page_has_a_language_one_heading_of_the_first_level_and_a_main_part(pages):
    for path, page in pages.items():
        assert page.soup.html["lang"] in SETTINGS["languages"], path
        assert len(page.soup.select("h1")) == 1, path
        assert page.soup.h1.get_text(strip=True), path
        assert len(page.soup.select("main")) == 1, path


def test_no_level_of_headings_is_left_out(pages):
    """WCAG 2.2, technique G141: headings follow the levels of the content."""
    for path, page in pages.items():
        levels = [int(tag.name[1]) for tag in page.soup.find_all(re.compile(r"^h[1-6]$"))]
        jumps = [(above, below) for above, below in pairwise(levels) if below > above + 1]
        assert not jumps, path


def test_titles_and_descriptions_are_there_and_titles_are_unique(pages):
    titles = Counter(page.soup.title.get_text(strip=True) for page in pages.values())
    assert max(titles.values()) == 1, titles.most_common(1)
    for path, page in pages.items():
        assert page.soup.find("meta", attrs={"name": "description"})["content"].strip(), path


def test_canonical_addresses_are_whole_and_end_in_the_folder(pages):
    for path, page in kept_for_search(pages).items():
        canonical = page.soup.find("link", rel="canonical")["href"]
        assert canonical == urljoin(SETTINGS["base_address"], path.removesuffix("index.html")), path
        assert canonical.endswith("/"), path


def test_every_inner_address_leads_to_a_file_and_every_anchor_to_a_place_on_its_page(pages, demo_site_built):
    wrong = []
    for page in pages.values():
        for address in page.inner_addresses():
            place, anchor = page.target(address)
            # In a video the part after # is a time (Media Fragments URI 1.0, 4.2.1), in a page an anchor.
            known = pages[place].anchors if place in pages else {anchor} if anchor.startswith("t=") else set()
            if not (demo_site_built / place).is_file() or (anchor and anchor not in known):
                wrong.append(f"{page.path}: {address}")
    assert not wrong


def test_inner_addresses_are_relative_and_name_a_file(pages):
    """So that the site works at a root, under a sub-path and from a folder, where nothing turns / into a file."""
    for page in pages.values():
        for address in page.inner_addresses():
            assert not address.startswith("/"), f"{page.path}: {address}"
            assert not address.partition("#")[0].endswith("/"), f"{page.path}: {address}"


def test_addresses_in_style_sheets_lead_to_files(demo_site_built):
    for sheet in demo_site_built.rglob("*.css"):
        for address in re.findall(r"url\(\s*['\"]?([^'\")]+)", sheet.read_text("utf-8")):
            assert address.startswith("data:") or (sheet.parent / address).is_file(), f"{sheet}: {address}"


def test_every_image_has_words_and_its_size(pages):
    """HTML standard, 4.8.4.4: alt is never left out. width and height keep the page from jumping (17.2)."""
    images = [(page.path, image) for page in pages.values() for image in page.soup.select("img")]
    assert len(images) >= 2 * len(STOCKS)
    for path, image in images:
        assert image.has_attr("alt"), f"{path}: {image}"
        assert image["width"].isdecimal(), f"{path}: {image}"
        assert image["height"].isdecimal(), f"{path}: {image}"


def test_every_condition_page_shows_its_photos_and_names_what_they_show(pages):
    for stock in STOCKS:
        shown = pages[f"vehicles/{stock}/index.html"].soup.select("main img")
        stills = [image for image in shown if image.find_parent(class_="film-chapter")]
        # A still repeats what its link says in words (HTML standard, 4.8.4.4.4, "A graphical representation of ...").
        assert all(len(still.find_parent("a").get_text(strip=True)) > 10 for still in stills), stock
        photos = [image for image in shown if image not in stills]
        assert photos, stock
        assert all(len(photo["alt"]) > 10 for photo in photos), stock


def test_ids_are_unique_on_a_page(pages):
    for path, page in pages.items():
        counted = Counter(tag["id"] for tag in page.soup.select("[id]"))
        assert not [name for name, number in counted.items() if number > 1], path


def test_there_is_no_style_or_script_inside_a_page(pages):
    """So that a host may forbid both (Content Security Policy Level 3); data blocks are not run."""
    for path, page in pages.items():
        assert not page.soup.select("style, [style]"), path
        run = [tag for tag in page.soup.select("script:not([src])") if "json" not in str(tag.get("type"))]
        assert not run, path
        handlers = [name for tag in page.soup.find_all(True) for name in tag.attrs if name.startswith("on")]
        assert not handlers, path


def test_nothing_is_loaded_from_other_hosts(pages, demo_site_built):
    for page in pages.values():
        foreign = set(page.loaded_addresses()) - set(page.inner_addresses())
        assert not {address for address in foreign if not address.startswith("data:")}, page.path
    for file in [*demo_site_built.rglob("*.css"), *demo_site_built.rglob("*.*js")]:
        # Names of namespaces load nothing, nor does what others' work says of itself in its first comment.
        text = re.sub(r"http://www\.w3\.org/\S+|/\*!.*?\*/", "", file.read_text("utf-8"), flags=re.DOTALL)
        assert not re.search(r"(https?:)?//[a-z0-9-]+\.[a-z]", text), file


def test_links_out_lead_only_to_invented_or_standard_places(pages):
    """RFC 2606 and RFC 6761 keep .example free of real hosts; telephone numbers 555-0100 to 0199 are for fiction."""
    for page in pages.values():
        for address in page.addresses():
            scheme = address.partition(":")[0] if re.match(r"[a-z]+:", address) else ""
            assert scheme in ("", "https", "tel", "sms", "mailto", "data"), f"{page.path}: {address}"
            if scheme in ("tel", "sms"):
                assert re.search(r"555-?01\d\d", address), f"{page.path}: {address}"
            if scheme in ("https", "mailto"):
                assert re.search(r"\.example(/|\?|#|$)", address), f"{page.path}: {address}"


def test_every_published_file_belongs_to_the_site(pages, demo_site_built):
    """Nothing is published that nothing names, but for what programs ask for by its name (RFC 9309, sitemaps.org)."""
    present = {file.relative_to(demo_site_built).as_posix() for file in demo_site_built.rglob("*") if file.is_file()}
    named = {page.target(address)[0] for page in pages.values() for address in page.inner_addresses()}
    for page in pages.values():
        shared = page.soup.select("meta[property='og:image']")
        named |= {tag["content"].removeprefix(SETTINGS["base_address"]) for tag in shared}
        for carried in page.soup.select("script[type='application/json']"):
            told = re.findall(r'"([./\w-]+\.(?:js|mp4))"', carried.get_text())
            named |= {page.target(address)[0] for address in told}
    for sheet in demo_site_built.rglob("*.css"):
        folder = sheet.parent.relative_to(demo_site_built)
        named |= {(folder / found).as_posix() for found in re.findall(r"url\(\s*['\"]?([^'\")]+)", sheet.read_text())}
    for script in demo_site_built.rglob("*.js"):
        folder = script.parent.relative_to(demo_site_built)
        loaded = set(re.findall(r"[\"'`](lazy-[\w.-]+)[\"'`]", script.read_text())) - {script.name}
        named |= {(folder / found).as_posix() for found in loaded}
    asked_for = {"robots.txt", "sitemap.xml"} | {path for path in present if "LICENSE" in path}
    # A page that has moved asks for its script, and the demo has none; a kept link asks for what has changed.
    asked_for |= {path for path in present if path.endswith("/moved.js")}
    asked_for |= {page.target("changes.js")[0] for page in pages.values() if page.soup.select(".kept-otherwise")}
    unnamed = present - named - set(pages) - asked_for
    assert unnamed == {".sitegen"}


def test_the_page_for_addresses_that_lead_nowhere_finds_its_style_from_any_depth(pages):
    """A host shows it at the address that was asked for, so its links start from the site's own path."""
    page = pages["404.html"]
    assert page.soup.base["href"] == urlsplit(SETTINGS["base_address"]).path
    assert page.soup.find("meta", attrs={"name": "robots"})["content"] == "noindex"
    assert not page.soup.find("link", rel="canonical")


def test_every_page_has_the_same_content_security_policy(pages):
    """The error page too: its base is a path, because the policy allows no base of another origin."""
    policies = {
        page.soup.select_one("meta[http-equiv=Content-Security-Policy]")["content"] for page in pages.values()
    }
    assert len(policies) == 1
    assert "unsafe" not in policies.pop()
