"""Disclosures that are removed, reduced or improved without a reason are found, in whatever form they are written."""

from __future__ import annotations

import copy
import json
import re
import shutil
from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
import yaml
from bs4 import BeautifulSoup

from sitegen.ledger.differences.removed_disclosures import MEASURED, removed_disclosures
from sitegen.ledger.differences.warned_changes import warned_changes
from sitegen.pages.vehicle.record_json import PublishedDigests, canonical_record
from sitegen.reading.store import read_vehicle_alone
from tests.builders import a_vehicle, some_settings
from tests.conftest import REPOSITORY, run_sitegen
from tests.ledger.conftest import FIRST, change, publish_on


def facts() -> dict[str, Any]:
    """The facts of the base vehicle, with an entry of every kind."""
    (defect,) = a_vehicle().model_dump(mode="json")["defects"]
    told = json.loads(canonical_record(a_vehicle(), some_settings()))
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
    told["tires"]["left_front"]["date_code"] = "2423"
    told["brakes"]["left_front"]["rotor_discard"] = "23 mm"
    told["paint"] = [{"panel": "hood", "readings": ["110 µm", "112 µm"]}]
    told["services"] = [{"service": "engine_oil", "done_on": "2026-04-02"}]
    told["earlier_readings"] = [{"reading": "40,100 mi", "read_on": "2023-09-14", "source": "service bill"}]
    told["sale_terms"] = "implied warranties only"
    told["not_for_road_use"] = True
    told["traction_battery"] = {"state_of_health": "90 %"}
    told["battery"] = {"tested": "480 CCA", "rated": "600 CCA", "fitted_on": "2023-03"}
    told["brake_fluid"] = {"moisture": "1.5 %"}
    told["odometer"] = {"reading": "64,000 mi", "statement": "not actual"}
    told["title"] = {"brand": "rebuilt", "checked_on": "2026-09-08"}
    told["recalls"] = {"open": ["Hose"], "checked_on": "2026-09-08"}
    told["before_delivery"] = [{"what": "New wipers.", "settles": ["dent"]}]
    told["history"] = [{"on": "2026-10-01", "what": "One more photo."}]
    told["work_done"] = [{"what": "Changed the oil.", "on": "2026-09-28"}]
    return told


def put(told: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """Return the facts with a value replaced at a path, or removed if it is None. Lists are indexed by position."""
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
    ("defects.0.kind", "scuff", "defects.sill-rust"),
    ("odometer.reading", "102,000 km", "odometer"),
    ("defects.0.size", "4 in", "defects.sill-rust"),
    ("tires.left_front.date_code", "0226", "tires.left_front"),
    ("traction_battery.state_of_health", "91 %", "traction_battery"),
    ("odometer.statement", "actual", "odometer"),
    ("brakes.left_front.rotor_discard", "22 mm", "brakes.left_front"),
    ("paint", [], "paint"),
    ("services", [], "services"),
    ("work_done", [], "work_done"),
    ("earlier_readings", [], "earlier_readings"),
    ("sale_terms", "as is", "sale_terms"),
    ("not_for_road_use", None, "not_for_road_use"),
    ("vin", "00ZWA5H4XJD000102", "vin"),
    ("recalls", None, "recalls"),
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
    ("brakes.left_front.rotor", "24.00 mm"),
    ("odometer.reading", "103,100 km"),
    ("traction_battery.state_of_health", "89 %"),
    ("battery.fitted_on", "2023-03-14"),
    ("sale_terms", {"warranty": "Six months."}),
    ("odometer.statement", "exceeds mechanical limits"),
    ("services.0.note", "Rear."),
]


@pytest.mark.parametrize(("path", "value", "about"), BETTER, ids=str)
def test_a_removed_or_better_value_is_found_until_history_explains_it(path: str, value: Any, about: str):
    old = facts()
    new = put(old, path, value)
    found = removed_disclosures(old, new)
    assert {loss.about for loss in found} == {about}
    answered = {**new, "history": [*new["history"], {"on": "2026-10-15", "what": "A mistake.", "about": [about]}]}
    assert removed_disclosures(old, answered) == ()
    other = {
        **new,
        "history": [*new["history"], {"on": "2026-10-15", "what": "A mistake.", "about": ["checks.roof"]}],
    }
    assert removed_disclosures(old, other) == found
    assert removed_disclosures(new, new) == (), "it is asked for once"


@pytest.mark.parametrize(("path", "value"), NO_BETTER, ids=str)
def test_new_or_worse_values_need_no_explanation(path: str, value: Any):
    assert removed_disclosures(facts(), put(facts(), path, value)) == ()


WORDS_ALONE = {"price", "status", "listed_on", "sold_on", "formerly", "stock", "language", "currency"}
"""Told by the page itself, by the line of the ledger, or of the store and no vehicle."""
NEVER_MISSING = {"inspection", "affects", "id"}
"""A record without these is none; whether they change for the better is in the list above."""
OF_THE_DAY = {
    "note",
    "pressure",
    "tested_on",
    "measured_on",
    "read_on",
    "rested_hours",
    "name",
    "by",
    "done_on",
    "at",
}


@pytest.mark.parametrize("stock", ["K102", "K105", "K106"])
def test_every_removed_or_changed_value_blocks_or_warns(stock: str):
    """For each key of real records: removal blocks or warns; of a raised and a lowered figure, the better blocks."""
    old = demo_facts(stock)
    seen = 0
    for path, value in paths_of(old):
        if path.split(".")[0] in WORDS_ALONE or path.split(".")[-1] in NEVER_MISSING:
            continue
        gone = put(old, path, None)
        found = [*removed_disclosures(old, gone), *warned_changes(old, gone)]
        assert found, f"{path} went unseen"
        assert removed_disclosures(gone, gone) == warned_changes(gone, gone) == ()
        if isinstance(value, dict | list):
            continue
        others = [*nearby(value), "something else"]
        held = [removed_disclosures(old, put(old, path, other)) for other in others]
        for other, first in zip(others, held, strict=True):
            assert first or warned_changes(old, put(old, path, other)), f"{path} became {other} unseen"
        is_measured = path.split(".")[0] in MEASURED and not OF_THE_DAY & set(path.split("."))
        assert not is_measured or any(held), f"{path} gets better and nothing holds it"
        seen += 1
    assert seen > 150


def demo_facts(stock: str) -> dict[str, Any]:
    """Facts of the demo store's vehicles, with a digest for each photo."""
    settings = some_settings(languages=["en", "es"])
    record, problems = read_vehicle_alone(
        REPOSITORY / "demo_site" / "vehicles" / stock, f"{stock}.yaml", settings, date(2026, 11, 21)
    )
    assert record is not None, problems
    photos = (*record.photos, *(photo for defect in record.defects for photo in defect.photos))
    shown = PublishedDigests({photo.file: sha256(photo.file.encode()).hexdigest() for photo in photos}, "f" * 64)
    facts: dict[str, Any] = json.loads(canonical_record(record, settings, shown))
    return facts


def paths_of(value: Any, at: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every path of keys and list positions with its value."""
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in entries:
        path = f"{at}.{key}".removeprefix(".")
        yield path, inner
        yield from paths_of(inner, path)


def nearby(value: Any) -> list[str]:
    """Return a figure with its first number increased and decreased by one."""
    found = re.fullmatch(r"(-?)(\d+)(.*)", str(value), re.DOTALL)
    return [f"{found[1]}{int(found[2]) + step}{found[3]}" for step in (-1, 1)] if found and int(found[2]) else []


def test_an_earlier_inspection_is_compared_with_its_stored_copy():
    old = facts()
    old["inspection"] = {"done_on": "2026-05-02"}
    kept = {
        key: old[key]
        for key in (
            *("inspection", "odometer", "tires", "brakes", "battery", "brake_fluid", "traction_battery", "paint"),
            *("checks", "defects"),
        )
    }
    new = put(put(old, "checks", {"horn": "good"}), "battery.tested", "600 CCA")
    new["inspection"] = {"done_on": "2026-10-04"}
    assert removed_disclosures(old, new)
    again = {**new, "earlier_inspections": [kept]}
    assert removed_disclosures(old, again) == ()
    assert {loss.about for loss in removed_disclosures(again, new)} == {"inspections.2026-05-02"}
    tampered = put(again, "earlier_inspections.0.battery.tested", "500 CCA")
    assert {loss.about for loss in removed_disclosures(again, tampered)} == {"battery"}


def test_a_renewed_part_is_explained_by_work_done():
    old = facts()
    new = put(put(old, "tires.left_front.tread.inner", "10/32 in"), "battery.tested", "600 CCA")
    new["work_done"] += [{"what": "Two front tires, a battery.", "renews": ["tires.left_front", "battery"]}]
    assert removed_disclosures(old, new) == ()
    new["work_done"][-1:] = [{"what": "All tires.", "renews": ["tires"]}]
    assert {loss.about for loss in removed_disclosures(old, new)} == {"battery"}


def test_a_fulfilled_promise_is_explained_by_work_done():
    old, new = facts(), put(facts(), "before_delivery", [])
    new["work_done"] += [{"what": "Fitted new wipers.", "settles": ["dent"]}]
    assert removed_disclosures(old, new) == ()


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
        assert f"defects.{slug} differs from what was published on 2026-11-02: was listed" in done.stderr
        assert re.search(r"inspection\.yaml:\d+:\d+: history: found", done.stderr)
        assert "warning: history: found photos differs from what was published on 2026-11-02: showed" in done.stderr
        assert f"about: [defects.{slug}]" in done.stderr
    assert (page.read_bytes(), (store / "ledger.jsonl").read_bytes()) == (before, lines)
    about = [f"defects.{slug}", *(f"checks.{point}" for point in named)]
    record["history"] = [*record.get("history", []), {"on": "2026-11-03", "what": "It was dirt.", "about": about}]
    file.write_text(yaml.safe_dump(record, sort_keys=False), "utf-8")
    publish_on("2026-11-03", store)
    told = BeautifulSoup(page.read_text("utf-8"), "html.parser").select_one("#papers").get_text(" ", strip=True)
    assert "November 3, 2026 Corrected: It was dirt." in told
    publish_on("2026-11-04", store)


def test_page_and_feed_announce_price_and_status_changes(published_thrice: Path, tmp_path: Path):
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


def test_a_renumbered_vehicle_redirects_automatically(published_thrice: Path, tmp_path: Path):
    store = shutil.copytree(published_thrice, tmp_path / "store")
    (store / "vehicles" / "K900").rename(store / "vehicles" / "K950")
    change(store, "K950", "stock: K900", "stock: K950")
    publish_on("2026-11-05", store)
    page = BeautifulSoup((store / "published/vehicles/K900/index.html").read_text("utf-8"), "html.parser")
    assert page.select_one("meta[http-equiv=refresh]")["content"] == "0; url=../K950/index.html"
