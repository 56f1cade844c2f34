"""Odometer statement, title brand and open recalls on every surface.

Sources: 49 CFR 580.5(e) (statements), 580.17(a)(3) and (4) (exemption by age: 20 years from model year 2011 on).
"""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from sitegen.condition.judging import judge
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.frame.addresses import vehicle_page
from sitegen.pages.frame.page import Page, ShareDrawing
from sitegen.pages.inventory.card import Listing, listing, listing_facts
from sitegen.pages.inventory.exports import inventory_csv
from sitegen.pages.inventory.rows import row_files
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.material import Material
from sitegen.pages.vehicle.disclosure import papers
from sitegen.pages.vehicle.identity import distance_words
from sitegen.pages.vehicle.shared.json_ld import car
from sitegen.records.store import miles_a_year
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder
from tests.builders import a_vehicle, units_of, unmarked
from tests.condition.judged import GB, US, judged
from tests.pages.test_omissions import as_written, demo, record_of

TRANSLATOR = Translator(read_catalog(content_folder(), "en"), Formats("en", "USD", units=units_of("us")), "en")
CAVEATS = {
    "not actual": "88,900 mi, not actual mileage",
    "exceeds mechanical limits": "88,900 mi, exceeds mechanical limits",
}


def changed(folder: Path, **changes: Any) -> VehicleRecord:
    """Return the record of a demo vehicle with some keys replaced; `...` removes a key."""
    written = {**as_written(folder, "K102"), **changes}
    record = record_of({key: value for key, value in written.items() if value is not ...})
    assert record is not None
    return record


def surfaces(record: VehicleRecord, folder: Path) -> tuple[dict[str, str], Listing]:
    """Return the text of every surface that shows a vehicle, and its listing."""
    store, material, around, renderer = demo(folder)
    a_year = miles_a_year(store.settings, material.figures.region.average_a_year.value)
    condition = judge(record, material.figures, store.prices, a_year)
    material = Material({record.stock: condition}, material.pictures, material.figures, {record.stock: b"{}"})
    texts = {}
    for piece in vehicle_pieces(record, around, material):
        if isinstance(piece, Page):
            html = unmarked(renderer.page(piece.template, frame=piece.frame, **piece.views).decode())
            main = BeautifulSoup(html, "html.parser").main
            texts[piece.address.file.rpartition("/")[2]] = " ".join(main.get_text(" ").split())
        if isinstance(piece, ShareDrawing):
            texts["share picture"] = "; ".join(figure.figure for figure in piece.card.figures)
    item = listing(record, listing_facts(record, condition, material.vocabulary, around))
    texts["card"] = f"{item.card.distance}. {item.card.papers}"
    texts["row"] = b"".join(row_files([item], material.pictures, around.translator).values()).decode()
    at = vehicle_page(record.stock, "")
    texts["JSON-LD"] = json.dumps(car(record, item.damages, material.pictures, at, store.settings, around.translator))
    (texts["CSV"],) = (json.dumps(row) for row in csv.DictReader(io.StringIO(inventory_csv([item], around).decode())))
    return {name: text.replace("\u00a0", " ").replace("\\u00a0", " ") for name, text in texts.items()}, item


@pytest.mark.parametrize("statement", CAVEATS)
def test_a_reading_that_is_not_the_mileage_has_a_caveat_everywhere(statement, demo_store):
    odometer = {"reading": "88,900 mi", "read_on": "2026-10-04", "statement": statement}
    texts, _ = surfaces(changed(demo_store, odometer=odometer), demo_store)
    shown = {name for name, text in texts.items() if CAVEATS[statement] in text}
    assert shown >= {"index.html", "window-sheet.html", "disclosure-sheet.html", "mechanic-sheet.html"}
    assert shown >= {"share picture", "card", "row", "JSON-LD"}
    assert json.loads(texts["CSV"])["odometer_statement"] == statement
    row = json.loads(re.sub(r"^.*? = ", "", texts["row"]))
    values = dict(zip(row["fields"], row["rows"][0], strict=True))
    assert values["distance"] is None, "no filter may find it by this reading"


def test_an_actual_reading_has_no_caveat(demo_store):
    odometer = {"reading": "88,900 mi", "read_on": "2026-10-04", "statement": "actual"}
    texts, item = surfaces(changed(demo_store, odometer=odometer), demo_store)
    assert item.card.distance.replace("\u00a0", " ") == "88,900 mi"
    assert "description" not in json.loads(texts["JSON-LD"])["mileageFromOdometer"]


def test_brand_and_open_recalls_are_on_window_sheet_card_and_csv(demo_store):
    recalls = {"checked_on": "2026-10-01", "open": [{"what": "Tailgate strut."}, {"what": "Horn wiring."}]}
    record = changed(demo_store, title={"brand": "Prior taxi", "checked_on": "2026-10-01"}, recalls=recalls)
    texts, _ = surfaces(record, demo_store)
    for name in ("window-sheet.html", "card"):
        assert "Title: “Prior taxi”. 2 open recalls." in texts[name], name
    row = json.loads(texts["CSV"])
    assert (row["title_brand"], row["open_recalls"]) == ("Prior taxi", "2")


def test_papers_not_looked_up_are_mentioned_and_empty_in_the_csv(demo_store):
    texts, _ = surfaces(changed(demo_store, title=..., recalls=...), demo_store)
    assert "Title not noted. Recalls not noted." in texts["card"]
    row = json.loads(texts["CSV"])
    assert (row["title_brand"], row["open_recalls"]) == ("", "")


def test_each_recall_is_a_paragraph_of_its_own():
    open_recalls = [
        {"what": "Tailgate strut.", "reference": "26V001"},
        {"what": "Horn wiring.", "remedy": "New loom."},
    ]
    record = a_vehicle(recalls={"checked_on": "2026-10-01", "open": open_recalls})
    fact = papers(record, judged(), TRANSLATOR)[1]
    assert fact.value.text == "2 open when we looked it up on October 1, 2026."
    assert [paragraph.text for paragraph in fact.paragraphs] == [
        "Tailgate strut (number 26V001).",
        "Horn wiring. Remedy: New loom.",
    ]


# 580.17(a)(3), (4): to model year 2010 exempt since 2020 at the latest; from 2011 on after 20 years, so 2012 in 2032.
@pytest.mark.parametrize(
    ("year", "statement", "words"),
    [
        (2012, "exempt", "By its model year, a mileage statement is required"),
        (2012, "not stated", "The seller has made no mileage statement yet"),
        (2010, "exempt", "By its age or weight, no mileage statement is required"),
        (2010, "not stated", "By its age or weight, no mileage statement is required"),
        (2010, "actual", "The seller states that the reading is the actual mileage"),
    ],
)
def test_no_vehicle_is_called_exempt_before_its_age(year, statement, words):
    odometer = {"reading": "88,900 mi", "read_on": "2026-10-04", "statement": statement}
    vehicle = {"year": year}
    record = a_vehicle(vehicle=vehicle, odometer=odometer)
    fact = papers(record, judged(US, vehicle=vehicle, odometer=odometer), TRANSLATOR)[2]
    assert fact.value.text.startswith(words)


def test_a_missing_reading_is_called_not_noted_and_not_broken():
    record = a_vehicle(odometer={"reading": ..., "read_on": "2026-10-04"})
    assert distance_words(record, TRANSLATOR) == "Odometer reading not noted"


def test_a_reading_in_kilometers_is_shown_as_read_with_miles_beside():
    record = a_vehicle(odometer={"reading": "120,000 km", "read_on": "2026-10-04"})
    # 120,000 / 1.609344 = 74,564.5
    assert distance_words(record, TRANSLATOR).replace("\u00a0", " ") == "120,000 km (74,565 mi)"
    britain = Translator(TRANSLATOR.catalog, Formats("en", "GBP", units=GB.region.units), "en")
    assert distance_words(record, britain).replace("\u00a0", " ") == "120,000 km (74,565 mi)"
