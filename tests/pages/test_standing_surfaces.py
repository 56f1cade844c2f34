"""Each kind of standing fact, on every surface that shows it: one record for each, and every surface looked at."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sitegen.condition.judging import judge
from sitegen.pages.composing import _news
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.desk.answers import answers
from sitegen.pages.desk.to_do import Circumstances, to_do
from sitegen.pages.frame.page import Page
from sitegen.pages.inventory.card import Listing
from sitegen.pages.inventory.exports import inventory_json
from sitegen.pages.material import Material
from sitegen.pages.vehicle.condition_page import ConditionPage
from sitegen.records.store import miles_a_year
from sitegen.records.vehicle_record import VehicleRecord
from tests.builders import looked_at_again
from tests.pages.test_odometer_title_recalls import changed, surfaces
from tests.pages.test_omissions import DAY, as_written, demo, record_of

PAGE, WINDOW, DISCLOSURE, MECHANIC = "index.html", "window-sheet.html", "disclosure-sheet.html", "mechanic-sheet.html"
PAPER = (WINDOW, DISCLOSURE, MECHANIC)
LISTS = ("card", "CSV", "row", "feed")
DESK = ("answers", "to-do")
EVERYWHERE = (PAGE, *PAPER, *LISTS, *DESK, "share picture")
HINGE: dict[str, Any] = {
    "id": "glove-box",
    "kind": "broken part",
    "where": {"station": "cabin", "part": "glove box lid"},
    "affects": "function",
    "words": "The lid is split in two.",
}
HOSE: dict[str, Any] = {
    "id": "brake-hose",
    "kind": "fluid leak",
    "where": {"station": "underside", "part": "brake hose"},
    "affects": "safety",
    "words": "The hose sweats at its end.",
}
NEW_HOSE = [{"what": "Replace the hose.", "settles": ["brake-hose"], "by": "replaced"}]

# Each: changes to a vehicle of the demo store, what is said, and where.
FACTS: dict[str, tuple[dict[str, Any], str, tuple[str, ...]]] = {
    "a defect": ({"defects": [HINGE], "checks": {"heater": "good"}}, "broken part, glove box lid", EVERYWHERE),
    "damage as data": ({"defects": [HINGE]}, "The lid is split in two.", ("JSON-LD", "inventory.json")),
    "damage that strands": (
        {"defects": [{**HINGE, "kind": "electrical fault", "where": {"station": "cabin", "part": "dash"}}]},
        "Can leave you at the roadside: electrical fault, dash",
        (PAGE, *PAPER, "card", "CSV", "feed", "answers"),
    ),
    "damage that is cosmetic": (
        {"defects": [{**HINGE, "affects": "looks"}], "checks": {}},
        "cosmetic",
        (PAGE, "card", "CSV", "feed", "answers"),
    ),
    "a check": ({"defects": "none", "checks": {"heater": "attention"}}, "heater", EVERYWHERE),
    "an answered hold": (
        {"defects": [HOSE], "before_delivery": NEW_HOSE},
        "This affects safety: The hose sweats at its end. Before you take it home: Replace the hose.",
        (PAGE, *PAPER, "answers"),
    ),
    "an answered hold in brief": (
        {"defects": [HOSE], "before_delivery": NEW_HOSE, "checks": {"heater": "good"}},
        "fluid leak, brake hose: to be put right",
        ("share picture",),
    ),
    "equipment that is not there": (
        {"not_for_road_use": True, "checks": {"headlights": "not fitted"}},
        "a vehicle of its year should have it: headlights",
        (PAGE, *PAPER),
    ),
    "an open recall": (
        {"recalls": {"checked_on": "2026-09-08", "open": [{"what": "The rear axle may separate."}]}},
        "The rear axle may separate",
        EVERYWHERE,
    ),
    "a recall that says not to drive": (
        {"recalls": {"checked_on": "2026-09-08", "open": [{"what": "Do not drive until the inflator is new."}]}},
        "Open recall that says not to drive this vehicle",
        (PAGE, *PAPER, "answers"),
    ),
    "a title for parts only": (
        {"title": {"brand": "Parts only", "checked_on": "2026-09-08"}},
        "sold for parts or off-road use only",
        (PAGE, *PAPER),
    ),
    "a salvage title": ({"title": {"brand": "Salvage", "checked_on": "2026-09-08"}}, "Salvage", EVERYWHERE),
    "an old tire": (
        {"tires": {"left_front": {"date_code": "2310", "tread": {"center": "7/32 in"}}}},
        "made in 2010",
        EVERYWHERE,
    ),
    "what nobody measured": ({"brake_fluid": ...}, "Not measured: brake fluid", (PAGE,)),
    "a size that nobody can read": (
        {"tires": {"left_front": {"size": "worn off", "tread": {"center": "7/32 in"}}}},
        "load of the left front tire, since its size could not be read",
        (PAGE,),
    ),
    "an odometer that is not to be relied on": (
        {"odometer": {"reading": "88,900 mi", "read_on": "2026-10-04", "statement": "not actual"}},
        "not actual mileage",
        (PAGE, *PAPER, "row", "JSON-LD", "inventory.json", "share picture"),
    ),
    "a reason": (
        {"defects": [{**HOSE, "affects": "function", "because": "It sweats, and no drop falls."}]},
        "It sweats, and no drop falls",
        (PAGE, DISCLOSURE, MECHANIC),
    ),
    "harmless words": (
        {"notes": "Fumes.", "harmless": [{"words": "Fumes", "because": "Of the paint on the fence."}]},
        "Of the paint on the fence",
        (PAGE,),
    ),
}


def texts_of(folder: Path, **changes: Any) -> dict[str, str]:
    """Return the text of every surface, the card's sentence about what stands among them."""
    record = changed(folder, **changes)
    texts, item = surfaces(record, folder)
    return {**texts, "card": f"{item.card.defects} {item.card.papers}", **_lists_and_desk(record, item, folder)}


def _lists_and_desk(record: VehicleRecord, item: Listing, folder: Path) -> dict[str, str]:
    """Return the text of the feed, of inventory.json, and of the desk's answers and to-do list."""
    store, material, around, _ = demo(folder)
    translator, figures = around.translator, material.figures
    condition = judge(
        record, figures, store.prices, miles_a_year(store.settings, figures.region.average_a_year.value)
    )
    material = Material({record.stock: condition}, material.pictures, figures, {record.stock: b"{}"})
    page = next(
        piece.views["page"]
        for piece in vehicle_pieces(record, around, material)
        if isinstance(piece, Page) and piece.address.file.endswith(PAGE)
    )
    assert isinstance(page, ConditionPage)
    quoted = answers(page, condition, (), translator)
    circumstances = Circumstances(store.settings, figures.vocabulary, DAY, translator)
    texts = {
        "feed": " ".join(news.summary for news in _news(around, material, [item]) if news.key == "arrived"),
        "inventory.json": inventory_json([item], material.pictures, around).decode(),
        "answers": " ".join(answer.said.text for answer in quoted if answer.question == "Is anything wrong with it?"),
        "to-do": "; ".join(each.words.text for each in to_do(record, condition, None, circumstances)),
    }
    return {name: text.replace("\u00a0", " ") for name, text in texts.items()}


@pytest.mark.parametrize("name", FACTS)
def test_a_fact_is_on_every_surface_that_shows_it(name: str, demo_store: Path):
    changes, words, places = FACTS[name]
    texts = texts_of(demo_store, **changes, **({} if "film" in changes else {"film": ...}))
    missing = [place for place in places if words.casefold() not in texts[place].casefold()]
    assert not missing, {place: texts[place][:1500] for place in missing[:1]}


def test_what_nobody_looked_at_again_stays(demo_store: Path):
    """A later look that does not mention a defect removes it from nowhere."""
    now = {**as_written(demo_store, "K102"), "defects": "none"}
    then = {**now, "defects": [HINGE], "inspection": {**now["inspection"], "done_on": "2026-08-01"}}
    record, before = (record_of({k: v for k, v in each.items() if k != "film"}) for each in (now, then))
    assert record is not None
    assert before is not None
    texts, item = surfaces(looked_at_again(before, record), demo_store)
    for place in (PAGE, *PAPER, "CSV", "row"):
        assert "broken part, glove box lid" in texts[place].casefold(), place
    assert "glove box lid" in item.card.defects


def test_everything_was_checked_is_stated_only_if_everything_was_measured(demo_store: Path):
    assert "Every important point was checked" in texts_of(demo_store)[PAGE]
    for key in ("brake_fluid", "tires", "brakes"):
        assert "Every important point was checked" not in texts_of(demo_store, **{key: ...})[PAGE]


def test_a_line_links_to_its_defect_and_defects_are_not_counted_by_kind(demo_store: Path):
    page = texts_of(demo_store, defects=[HINGE], film=...)[PAGE]
    assert "One thing" not in page
    assert "Works less well: broken part, glove box lid" in page
