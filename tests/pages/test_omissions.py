"""An omission is never a statement: whatever a record leaves out, its pages are made, and none asserts it.

No outside source: the records are those of the demo store, each with one key left out at a time.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from sitegen.commands.shared.composition import Wish
from sitegen.condition.judging import judge
from sitegen.pages.composing import translator_for
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import Page
from sitegen.pages.frame.theme import read_theme
from sitegen.pages.inventory.card import listing
from sitegen.pages.material import Material
from sitegen.photos.making import make_pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder
from tests.conftest import REPOSITORY

DAY = date(2026, 11, 21)
STOCKS = sorted(folder.name for folder in (REPOSITORY / "demo_site" / "vehicles").iterdir())
LOOKED_INTO = ("K101", "K104", "K106")
"""A car, a van and an electric vehicle, of which every key is tried; of the others, those of the two upper levels."""
ASSERTING = {
    "work.none": ("work_done",),
    "work.none_promised": ("before_delivery",),
    "additions.none": ("additions",),
    "defects.none": ("defects", "checks"),
    "summary.worst.none": ("defects", "checks"),
    "inventory.none_standing": ("defects", "checks"),
    "sheets.all_checked": ("checks",),
    "papers.title_none": ("title",),
    "papers.recalls_none": ("recalls", "recalls.open"),
}
"""Messages that say that there is none of something, each with the keys of the record that it needs."""


@cache
def demo(folder: Path) -> tuple[Store, Material, Surroundings]:
    """Read the demo store once for all tests of a worker. Its pictures are those that were made before."""
    store, problems = read_store(folder, DAY)
    assert store is not None, problems
    figures = read_figures(content_folder(), store.settings.region)
    pictures, _ = make_pictures(store, Wish(folder).cache, lambda *_: None)
    around = Surroundings(
        store,
        read_theme(store),
        translator_for("en", store.settings, figures),
        "",
        DAY,
    )
    return store, Material({}, pictures, figures.vocabulary, figures, {}), around


def told(record: VehicleRecord, folder: Path, sheets: bool = True) -> str:
    """Return the text of a vehicle's page and card, and of its sheets, which place the same views."""
    store, material, around = demo(folder)
    a_year = miles_a_year(store.settings, material.figures.region.average_a_year.value)
    condition = judge(record, material.figures, store.prices, a_year)
    facts = {record.stock: b"{}"}
    material = Material({record.stock: condition}, material.pictures, material.vocabulary, material.figures, facts)
    renderer = around.theme.speaking(around.translator.catalog)
    pages = []
    for piece in vehicle_pieces(record, around, material):
        if isinstance(piece, Page):
            pages.append(renderer.page(piece.template, frame=piece.frame, **piece.views).decode())
            if not sheets:
                break
    return "\n".join([*pages, listing(record, condition, material.vocabulary, around).card.defects])


ALIKE = {"tires", "brakes", "checks"}
"""Groups whose entries are all of one kind: within the first of them, every key; of the others, the whole."""


def keys_of(written: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the path of every key; of a list, those of its first entry. Languages are no keys of a record."""
    if isinstance(written, dict) and not set(written) <= {"en", "es"}:
        for place, (key, value) in enumerate(written.items()):
            if path == ("checks",) and place >= MOST_CHECKS:
                return
            yield (*path, key)
            if not (path and path[-1] in ALIKE and place):
                yield from keys_of(value, (*path, key))
    elif isinstance(written, list) and written:
        yield from keys_of(written[0], (*path, 0))


MOST_CHECKS = 5


def without(written: Any, path: tuple[str | int, ...]) -> Any:
    """Return what is written with one key left out."""
    first, *rest = path
    if isinstance(written, list):
        return [without(entry, tuple(rest)) if place == first else entry for place, entry in enumerate(written)]
    if not rest:
        return {key: value for key, value in written.items() if key != first}
    return {key: without(value, tuple(rest)) if key == first else value for key, value in written.items()}


def as_written(folder: Path, stock: str) -> dict[str, Any]:
    """Return what a vehicle's record says, and nothing that it leaves out."""
    store, _, _ = demo(folder)
    record = next(vehicle.record for vehicle in store.vehicles if vehicle.record.stock == stock)
    return record.model_dump(mode="json", exclude_unset=True)


def record_of(written: dict[str, Any]) -> VehicleRecord | None:
    """Return the record, or None where it lacks a key that every record must have."""
    try:
        return VehicleRecord.model_validate_json(json.dumps(written), strict=True)
    except ValidationError:
        return None


@pytest.mark.parametrize("stock", STOCKS)
def test_every_key_may_be_left_out_and_nothing_is_asserted_in_its_place(demo_store: Path, stock: str):
    whole = as_written(demo_store, stock)
    _, _, around = demo(demo_store)
    asserting = {
        key: re.compile(re.escape(around.translator.catalog.form(key)).replace(r"\{day\}", ".*")) for key in ASSERTING
    }
    tried = 0
    deepest = None if stock in LOOKED_INTO else 2
    for path in keys_of(whole):
        if deepest and len(path) > deepest:
            continue
        record = record_of(without(whole, path))
        if record is None:
            continue
        text = told(record, demo_store, sheets=len(path) == 1)
        tried += 1
        for key, needed in ASSERTING.items():
            if ".".join(map(str, path)) in needed:
                assert not asserting[key].search(text), f"{key} is said without {path[0]}"
    assert tried > 30


@pytest.mark.parametrize("stock", STOCKS)
def test_nothing_is_called_faultless_while_a_check_or_a_defect_stands(demo_store: Path, stock: str):
    """Nor is a vehicle that nobody looked at."""
    whole = as_written(demo_store, stock)
    say = demo(demo_store)[2].translator.say
    faultless = [say(key) for key in ("defects.none", "summary.worst.none", "inventory.none_standing")]
    attention = {**whole, "defects": "none", "checks": {"horn": "attention"}}
    unseen = {**whole, "defects": "none", "checks": {}, "before_delivery": "none", "work_done": "none"}
    for written in (attention, unseen):
        record = record_of({key: value for key, value in written.items() if key != "walk_around"})
        assert record is not None
        text = told(record, demo_store)
        assert not [sentence for sentence in faultless if sentence in text]
    assert say("summary.not_looked_at") in text


@pytest.mark.parametrize("point", ["brake_lines", "steering_joints", "seat_belts", "windshield", "fuel_leaks"])
def test_attention_at_a_point_of_safety_holds_the_page_until_it_is_answered(demo_store: Path, point: str):
    store, material, _ = demo(demo_store)
    whole = as_written(demo_store, "K101")
    checks = {**whole["checks"], point: "attention"}
    a_year = miles_a_year(store.settings, material.figures.region.average_a_year.value)
    answers: dict[str, dict[str, Any]] = {
        "nothing": {},
        "promise": {"before_delivery": [{"what": "Put it right.", "renews": [f"checks.{point}"]}]},
        "off road": {"not_for_road_use": True},
    }
    records = {name: record_of({**whole, "checks": checks, **answer}) for name, answer in answers.items()}
    may = {
        name: record is not None and judge(record, material.figures, store.prices, a_year).gate.may_publish
        for name, record in records.items()
    }
    assert may == {"nothing": False, "promise": True, "off road": True}
