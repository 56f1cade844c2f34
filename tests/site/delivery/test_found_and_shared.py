"""Data for search engines, feed readers, and previews of shared links."""

from __future__ import annotations

import calendar
import json
import re
import subprocess
import urllib.robotparser
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from xml.etree import ElementTree

import feedparser
import pytest
from PIL import Image

from tests.conftest import REPOSITORY
from tests.site.pages import ParsedPage, all_pages

MODULES = REPOSITORY / "tests" / "node_modules"
BASE = "https://www.ferrow-lane.example/vehicles-for-sale/"
FOR_SALE = ("K101", "K102", "K103", "K104", "K105", "K106", "K108")

A_CAR = {
    "@context": "https://schema.org",
    "@type": "Car",
    "mileageFromOdometer": {"@type": "QuantitativeValue", "value": 88900, "unitCode": "SMI"},
    "offers": {"@type": "Offer", "price": "13450", "availability": "https://schema.org/InStock"},
}
MISTAKES: dict[str, Mapping[str, Any]] = {
    "a property that is not there": {"milage": 88900},
    "a property of another type": {"byArtist": "Brevik"},
    "one inside another": {"offers": {"@type": "Offer", "prise": "13450"}},
    "a type that is not there": {"brand": {"@type": "Maker", "name": "Brevik"}},
    "a choice that is not there": {"itemCondition": "https://schema.org/UsedCarCondition"},
    "words for a number": {"vehicleSeatingCapacity": {"@type": "QuantitativeValue", "value": {"five": 5}}},
}


def typed(folder: Path, things: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """Return what the compiler says of things, each held to the type that it says it is."""
    (folder / "node_modules").symlink_to(MODULES)
    kinds = sorted({str(thing["@type"]) for thing in things.values()})
    lines = [f'import type {{ WithContext, {", ".join(kinds)} }} from "schema-dts"']
    for number, thing in enumerate(things.values()):
        lines.append(f"export const thing{number}: WithContext<{thing['@type']}> = {json.dumps(thing)}")
    (folder / "things.ts").write_text("\n".join(lines), "utf-8")
    compiler = [
        "node",
        str(MODULES / "typescript/bin/tsc"),
        "--noEmit",
        "--strict",
        "--skipLibCheck",
        "things.ts",
    ]
    finished = subprocess.run(compiler, cwd=folder, capture_output=True, text=True)
    assert finished.returncode == 0 or finished.stdout, finished.stderr
    names = list(things)
    faults = [line for line in finished.stdout.splitlines() if line.startswith("things.ts(")]
    return [f"{names[int(re.findall(r'[0-9]+', fault)[0]) - 2]}: {fault}" for fault in faults]


def json_ld(page: ParsedPage) -> Iterator[dict[str, Any]]:
    for script in page.soup.select("script[type='application/ld+json']"):
        yield json.loads(str(script.string))


def test_the_compiler_finds_what_the_vocabulary_does_not_have(tmp_path):
    things = {"sound": A_CAR} | {name: {**A_CAR, **change} for name, change in MISTAKES.items()}
    assert {fault.split(":")[0] for fault in typed(tmp_path, things)} == set(MISTAKES)


def test_types_and_properties_are_those_of_the_vocabulary(tmp_path, demo_site_built):
    things = {
        f"{path} {number}": thing
        for path, page in all_pages(demo_site_built).items()
        for number, thing in enumerate(json_ld(page))
    }
    things["inventory.json"] = json.loads((demo_site_built / "inventory.json").read_text("utf-8"))
    assert {thing["@type"] for thing in things.values()} >= {"Car", "ItemList"}
    assert not typed(tmp_path, things)


@pytest.mark.parametrize("stock", FOR_SALE)
def test_a_vehicle_for_sale_is_a_car_with_an_offer_and_its_damages(demo_site_built, stock):
    page = all_pages(demo_site_built)[f"vehicles/{stock}/index.html"]
    (car,) = (thing for thing in json_ld(page) if thing["@type"] == "Car")
    record = json.loads((demo_site_built / f"vehicles/{stock}/record.json").read_text("utf-8"))
    assert car["sku"] == stock
    assert car["url"] == f"{BASE}vehicles/{stock}/"
    assert car["mileageFromOdometer"]["unitCode"] == "SMI"  # UN/CEFACT Recommendation 20: statute mile
    assert car["offers"]["availability"].endswith("/Reserved" if stock == "K108" else "/InStock")
    assert car["offers"]["priceCurrency"] == "USD"
    put_right = {slug for work in record.get("work_done", ()) for slug in work.get("settles", ())}
    put_right |= {slug for promise in record.get("before_delivery", ()) for slug in promise.get("settles", ())}
    for defect in record["defects"]:
        assert (defect["words"]["en"] in car["knownVehicleDamages"]) is (defect["id"] not in put_right)
    assert car["image"]
    assert all((demo_site_built / picture.removeprefix(BASE)).is_file() for picture in car["image"])


def test_a_sold_vehicle_is_sold_out_and_has_no_price(demo_site_built):
    page = all_pages(demo_site_built)["vehicles/K107/index.html"]
    (car,) = (thing for thing in json_ld(page) if thing["@type"] == "Car")
    assert car["offers"]["availability"] == "https://schema.org/SoldOut"
    assert "price" not in json.dumps(car)


def test_a_vehicle_is_one_thing_in_both_languages_with_its_version_engine_and_interior(demo_site_built):
    english, spanish = (
        next(json_ld(all_pages(demo_site_built)[f"{folder}vehicles/K103/index.html"])) for folder in ("", "es/")
    )
    assert english["@id"] == spanish["@id"] == english["url"] != spanish["url"]
    assert (english["vehicleConfiguration"], english["vehicleInteriorColor"]) == ("Select", "gray cloth")
    assert spanish["vehicleInteriorColor"] == "tela gris"
    # UN/CEFACT Recommendation 20: LTR is the liter
    displacement = {"@type": "QuantitativeValue", "value": 2.0, "unitCode": "LTR"}
    assert english["vehicleEngine"]["engineDisplacement"] == displacement
    assert english["offers"]["seller"]["address"] == {
        "@type": "PostalAddress", "streetAddress": "14 Ferrow Lane", "addressLocality": "Quillmarsh"
    }  # fmt: skip


def test_the_page_about_the_store_tells_its_address_and_when_it_is_open(demo_site_built):
    (store,) = json_ld(all_pages(demo_site_built)["about/index.html"])
    assert (store["@type"], store["address"]["addressLocality"]) == ("AutoDealer", "Quillmarsh")
    week, saturday = store["openingHoursSpecification"]
    assert [day.rpartition("/")[2] for day in week["dayOfWeek"]] == [*calendar.day_name][:5]
    assert (saturday["opens"], saturday["closes"]) == ("09:00", "14:00")


@pytest.mark.parametrize("path", ["index.html", "vehicles/K102/index.html", "es/vehicles/K102/index.html"])
def test_a_shared_link_is_shown_with_a_picture_and_its_words(demo_site_built, path):
    """The Open Graph protocol: title, type, image and url are required; sizes and words of the image are its own."""
    page = all_pages(demo_site_built)[path].soup
    told = {str(tag["property"]): str(tag["content"]) for tag in page.select("meta[property^='og:']")}
    canonical = str(page.select_one("link[rel=canonical]")["href"])
    assert told["og:url"] == canonical
    assert told["og:title"]
    assert told["og:type"] == "website"
    assert told["og:locale"] == ("es_US" if path.startswith("es/") else "en_US")
    assert str(page.select_one("meta[name='twitter:card']")["content"]) == "summary_large_image"
    assert len(told["og:image:alt"]) > 20
    with Image.open(demo_site_built / told["og:image"].removeprefix(BASE)) as picture:
        assert picture.format == "JPEG"
        assert picture.size == (int(told["og:image:width"]), int(told["og:image:height"])) == (1200, 630)


def test_every_page_that_may_be_found_has_a_picture_and_a_description_of_its_own(demo_site_built):
    """A link to the store shows how many vehicles are for sale and at what prices: seven, $8,650 to $19,750."""
    for path, page in all_pages(demo_site_built).items():
        if not page.soup.select_one("meta[name=robots][content*=noindex]"):
            image = page.soup.select_one("meta[property='og:image']")
            assert image, path
            assert (demo_site_built / str(image["content"]).removeprefix(BASE)).is_file(), path
            description = page.soup.select_one("meta[property='og:description']")
            assert description, path
            assert len(str(description["content"])) > 30, path
    words = all_pages(demo_site_built)["about/index.html"].soup.select_one("meta[property='og:image:alt']")
    assert words
    assert all(told in str(words["content"]) for told in ("Vehicles for sale: 7", "$8,650–$19,750"))


def test_a_description_has_at_most_160_characters_and_that_of_a_vehicle_its_price_and_miles(demo_site_built):
    for path, page in all_pages(demo_site_built).items():
        description = str(page.soup.select_one("meta[name=description]")["content"])
        assert len(description) <= 160, path
    told = str(all_pages(demo_site_built)["vehicles/K102/index.html"].soup.select_one("meta[name=description]"))
    assert re.search(r"\$[\d,]+.*[\d,]+.mi", told)


def test_the_feed_lists_arrivals_and_changes_latest_first(demo_site_built):
    feed = feedparser.parse((demo_site_built / "feed.xml").read_bytes())
    assert not feed.bozo
    assert feed.version == "atom10"
    assert feed.feed.language == "en"
    assert feed.feed.author == "Ferrow Lane Used Vehicles"
    moments = [datetime.fromtimestamp(calendar.timegm(entry.updated_parsed), UTC) for entry in feed.entries]
    assert moments == sorted(moments, reverse=True)
    assert feed.feed.updated_parsed == feed.entries[0].updated_parsed
    assert len({entry.id for entry in feed.entries}) == len(feed.entries)
    arrived = {entry.link for entry in feed.entries if entry.id.endswith("#arrived")}
    assert arrived == {f"{BASE}vehicles/K10{number}/" for number in range(1, 9)}
    for entry in feed.entries:
        assert (demo_site_built / entry.link.removeprefix(BASE) / "index.html").is_file()
        assert len(entry.title) > 10
        assert entry.summary
    lowered = [entry.summary for entry in feed.entries if "Price lowered" in entry.summary]
    assert "Price lowered from $11,950 to $11,450." in lowered


def test_every_page_links_to_the_feed(demo_site_built):
    for path, page in all_pages(demo_site_built).items():
        links = page.soup.select("link[rel=alternate][type='application/atom+xml']")
        expected = "es/feed.xml" if path.startswith("es/") else "feed.xml"
        assert [page.target(str(link["href"]))[0] for link in links] == [expected], path


def test_each_language_has_a_feed_in_its_words_with_ids_of_its_own(demo_site_built):
    english, spanish = (
        feedparser.parse((demo_site_built / file).read_bytes()) for file in ("feed.xml", "es/feed.xml")
    )
    assert spanish.feed.language == "es"
    assert len(english.entries) == len(spanish.entries)
    assert not {entry.id for entry in english.entries} & {entry.id for entry in spanish.entries}
    assert all(f"{BASE}es/vehicles/" in entry.link for entry in spanish.entries)


def test_robots_txt_allows_everything_and_names_the_sitemap(demo_site_built):
    robots = urllib.robotparser.RobotFileParser()
    robots.parse((demo_site_built / "robots.txt").read_text("utf-8").splitlines())
    assert robots.can_fetch("any", f"{BASE}vehicles/K102/")
    assert robots.site_maps() == [f"{BASE}sitemap.xml"]


def test_the_sitemap_lists_each_page_that_may_be_found_once(demo_site_built):
    """The Sitemaps protocol 0.9. What asks not to be indexed, as sheets do, is not in it."""
    tree = ElementTree.parse(demo_site_built / "sitemap.xml")
    listed = [str(place.text) for place in tree.iter("{http://www.sitemaps.org/schemas/sitemap/0.9}loc")]
    canonical = {
        str(page.soup.select_one("link[rel=canonical]")["href"])
        for page in all_pages(demo_site_built).values()
        if not page.soup.select_one("meta[name=robots][content*=noindex]")
    }
    assert len(set(listed)) == len(listed)
    assert set(listed) == canonical
    assert all(urlsplit(place).scheme == "https" for place in listed)
    assert f"{BASE}compare/" not in listed, "a tool is no page to be found"
    days = {str(entry[0].text): str(entry[1].text) for entry in tree.getroot() if entry[1].tag.endswith("}lastmod")}
    assert days[f"{BASE}vehicles/K106/"] == "2026-11-04"
    assert days[BASE] >= max(day for place, day in days.items() if "/vehicles/" in place)
