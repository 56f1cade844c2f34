"""Nothing that was disclosed goes, shrinks or gets better without a word of why, however it is written."""

from __future__ import annotations

import copy
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml
from bs4 import BeautifulSoup

from sitegen.ledger.vanishing import losses
from sitegen.pages.vehicle.record_json import canonical
from tests.builders import a_vehicle, some_settings
from tests.conftest import run_sitegen
from tests.ledger.conftest import FIRST, change, publish_on

pytestmark = pytest.mark.xdist_group("ledger")


def facts() -> dict[str, Any]:
    """The base vehicle, with something of everything."""
    (defect,) = a_vehicle().model_dump(mode="json")["defects"]
    told = json.loads(canonical(a_vehicle(), some_settings()))
    told["defects"] = [
        {**told["defects"][0], "id": "sill-rust", "affects": "safety", "size": "12 cm"},
        {**told["defects"][0], "id": "dent", "affects": "looks"},
    ]
    assert defect
    told["checks"] = {"wipers": "attention", "horn": "good", "jack": {"finding": "attention", "note": "Gone."}}
    told["tires"] = {"left_front": {"tread": {"outer": "7/32 in", "inner": "6/32 in"}}, "spare": {"tread": "9/32 in"}}
    told["brakes"] = {
        "left_front": {"pads": {"inner": "5 mm"}, "rotor": "24.1 mm"},
        "left_rear": {"drum": "228.6 mm"},
    }
    told["battery"] = {"tested": "480 CCA", "rated": "600 CCA"}
    told["brake_fluid"] = {"moisture": "1.5 %"}
    told["odometer"] = {"reading": "64,000 mi"}
    told["title"] = {"brand": "rebuilt", "checked_on": "2026-09-08"}
    told["recalls"] = {"open": ["Hose"], "checked_on": "2026-09-08"}
    told["before_delivery"] = [{"what": "New wipers.", "settles": ["dent"]}]
    told["history"] = [{"on": "2026-10-01", "what": "One more photo."}]
    told["work_done"] = []
    return told


def put(told: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """Return the facts with a value put at a path, or taken out where it is None; in lists, by place."""
    told = copy.deepcopy(told)
    *way, last = [int(step) if step.isdecimal() else step for step in path.split(".")]
    inner: Any = told
    for step in way:
        inner = inner[step]
    if value is None:
        del inner[last]
    else:
        inner[last] = value
    return told


BETTER = [
    ("defects.0", None, "defects.sill-rust"),
    ("defects.0.affects", "function", "defects.sill-rust"),
    ("defects.0.size", "11 cm", "defects.sill-rust"),
    ("defects.0.size", None, "defects.sill-rust"),
    ("checks.wipers", "good", "checks.wipers"),
    ("checks.wipers", None, "checks.wipers"),
    ("checks.jack.finding", "not fitted", "checks.jack"),
    ("checks.horn", None, "checks.horn"),
    ("tires.left_front.tread.inner", "7/32 in", "tires.left_front"),
    ("tires.left_front.tread.inner", "5.6 mm", "tires.left_front"),
    ("tires.left_front", None, "tires.left_front"),
    ("tires.spare.tread", "10/32 in", "tires.spare"),
    ("brakes.left_front.pads.inner", "6 mm", "brakes.left_front"),
    ("brakes.left_front.rotor", "24.2 mm", "brakes.left_front"),
    ("brakes.left_rear.drum", "228.5 mm", "brakes.left_rear"),
    ("battery.tested", "500 CCA", "battery"),
    ("battery", None, "battery"),
    ("brake_fluid.moisture", "1.4 %", "brake_fluid"),
    ("odometer.reading", "63,900 mi", "odometer"),
    ("title.brand", "none", "title"),
    ("title", None, "title"),
    ("recalls.open", [], "recalls"),
    ("before_delivery", [], "before_delivery"),
    ("history", [], "history"),
]
NO_BETTER = [
    ("defects.1.affects", "function"),
    ("defects.1.words", "A larger dent."),
    ("checks.horn", "attention"),
    ("checks.mirrors", "good"),
    ("tires.left_front.tread.inner", "5/32 in"),
    ("tires.left_front.note", "Worn."),
    ("brakes.left_rear.drum", "228.7 mm"),
    ("battery.tested", "470 CCA"),
    ("odometer.reading", "64,050 mi"),
    ("title.checked_on", "2026-10-08"),
    ("recalls.open", ["Hose", "Bag"]),
    ("price", "12900"),
]


@pytest.mark.parametrize(("path", "value", "about"), BETTER, ids=str)
def test_what_is_gone_smaller_or_better_is_found_and_a_word_of_why_answers_it(path: str, value: Any, about: str):
    old = facts()
    new = put(old, path, value)
    found = losses(old, new)
    assert {loss.about for loss in found} == {about}
    answered = {**new, "history": [*new["history"], {"on": "2026-10-15", "what": "A mistake.", "about": [about]}]}
    assert losses(old, answered) == ()
    other = {
        **new,
        "history": [*new["history"], {"on": "2026-10-15", "what": "A mistake.", "about": ["checks.roof"]}],
    }
    assert losses(old, other) == found
    assert losses(new, new) == (), "it is asked for once"


@pytest.mark.parametrize(("path", "value"), NO_BETTER, ids=str)
def test_what_is_new_or_worse_needs_no_word(path: str, value: Any):
    assert losses(facts(), put(facts(), path, value)) == ()


def test_an_inspection_that_became_an_earlier_one_is_held_against_what_is_kept_of_it():
    old = facts()
    old["inspection"] = {"done_on": "2026-05-02"}
    kept = {
        key: old[key] for key in ("inspection", "odometer", "tires", "brakes", "battery", "brake_fluid", "checks")
    }
    kept["defects"] = old["defects"]
    new = put(put(old, "checks", {"horn": "good"}), "battery.tested", "600 CCA")
    new["inspection"] = {"done_on": "2026-10-04"}
    assert losses(old, new)
    again = {**new, "earlier_inspections": [kept]}
    assert losses(old, again) == ()
    assert {loss.about for loss in losses(again, new)} >= {"defects.sill-rust", "battery", "checks.wipers"}
    tampered = put(again, "earlier_inspections.0.battery.tested", "500 CCA")
    assert {loss.about for loss in losses(again, tampered)} == {"battery"}


def test_what_was_renewed_is_told_under_the_work_done():
    old = facts()
    new = put(put(old, "tires.left_front.tread.inner", "10/32 in"), "battery.tested", "600 CCA")
    new["work_done"] = [{"what": "Two front tires, a battery.", "renews": ["tires.left_front", "battery"]}]
    assert losses(old, new) == ()
    new["work_done"] = [{"what": "All tires.", "renews": ["tires"]}]
    assert {loss.about for loss in losses(old, new)} == {"battery"}


def test_a_promise_that_was_kept_is_told_under_the_work_done():
    old, new = facts(), put(facts(), "before_delivery", [])
    new["work_done"] = [{"what": "Fitted new wipers.", "settles": ["dent"]}]
    assert losses(old, new) == ()


def test_a_deleted_defect_holds_the_build_until_history_says_why_and_the_page_shows_it(
    published_thrice: Path, tmp_path: Path
):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    file = store / "vehicles" / "K900" / "inspection.yaml"
    record = yaml.safe_load(file.read_text("utf-8"))
    (defect,) = record["defects"]
    slug = defect["id"]
    named = [point for point, check in record["checks"].items() if isinstance(check, dict) and "defect" in check]
    record |= {"defects": "none", "checks": {**record["checks"], **dict.fromkeys(named, "good")}}
    file.write_text(yaml.safe_dump(record, sort_keys=False), "utf-8")
    page = store / "published" / "vehicles" / "K900" / "index.html"
    before, lines = page.read_bytes(), (store / "ledger.jsonl").read_bytes()
    for command in ("check", "build"):
        done = run_sitegen(command, store)
        assert done.returncode == 1
        assert f"defects.{slug} otherwise than it was published on 2026-11-02: was listed" in done.stderr
        assert re.search(r"inspection\.yaml:\d+:\d+: history: found", done.stderr)
        assert f"about: [defects.{slug}]" in done.stderr
    assert (page.read_bytes(), (store / "ledger.jsonl").read_bytes()) == (before, lines)
    about = [f"defects.{slug}", *(f"checks.{point}" for point in named)]
    record["history"] = [*record.get("history", []), {"on": "2026-11-03", "what": "It was dirt.", "about": about}]
    file.write_text(yaml.safe_dump(record, sort_keys=False), "utf-8")
    publish_on("2026-11-03", store)
    told = BeautifulSoup(page.read_text("utf-8"), "html.parser").select_one("#papers").get_text(" ", strip=True)
    assert "November 3, 2026 Corrected: It was dirt." in told
    publish_on("2026-11-04", store)


def test_price_and_status_are_told_by_the_page_and_the_feed_by_themselves(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    change(store, "K900", "status: for sale", "status: on hold")
    publish_on("2026-11-07", store)
    page = (store / "published" / "vehicles" / "K900" / "index.html").read_text("utf-8")
    told = " ".join(BeautifulSoup(page, "html.parser").select_one("#papers").get_text(" ", strip=True).split())
    assert "November 7, 2026 On hold for a buyer." in told
    assert "November 2, 2026 The price is now $12,900; it was $13,450." in told
    assert told.index("November 7") < told.index("November 2, 2026 The price")
    feed = (store / "published" / "feed.xml").read_text("utf-8")
    assert "The price is now $12,900; it was $13,450." in feed
    kept = (store / "published" / "vehicles" / "K900" / "index.html").read_bytes()
    publish_on("2026-11-08", store)
    assert (store / "published" / "vehicles" / "K900" / "index.html").read_bytes() == kept
    assert FIRST not in told


def test_a_vehicle_under_a_new_number_with_the_same_vin_leads_on_by_itself(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    (store / "vehicles" / "K900").rename(store / "vehicles" / "K950")
    change(store, "K950", "stock: K900", "stock: K950")
    publish_on("2026-11-05", store)
    page = BeautifulSoup((store / "published/vehicles/K900/index.html").read_text("utf-8"), "html.parser")
    assert page.select_one("meta[http-equiv=refresh]")["content"] == "0; url=../K950/index.html"
