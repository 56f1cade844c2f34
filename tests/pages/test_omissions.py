"""An omission is never a statement: whatever a record leaves out, its pages are made, and none asserts it.

No outside source: the records are those of the demo store, each with one key left out at a time.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from functools import cache, reduce
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from pydantic import ValidationError

from sitegen.condition.judging import judge
from sitegen.pages.composing import translator_for
from sitegen.pages.composing_vehicle import vehicle_pieces
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.page import Page
from sitegen.pages.frame.theme import Renderer, read_theme
from sitegen.pages.inventory.card import listing_facts
from sitegen.pages.material import Material
from sitegen.photos.making import make_pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_store
from sitegen.records.store import Store, miles_a_year
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder
from tests.builders import unmarked
from tests.conftest import REPOSITORY
from tests.photos.lots import engine_of

DAY = date(2026, 11, 21)
STOCKS = sorted(folder.name for folder in (REPOSITORY / "demo_site" / "vehicles").iterdir())
ASSERTING = {
    "work.none": ("work_done",),
    "work.none_promised": ("before_delivery",),
    "additions.none": ("additions",),
    "defects.none": ("defects", "checks"),
    "summary.worst.none": ("defects", "checks"),
    "sheets.all_checked": ("checks",),
    "sheets.none_unchecked": ("checks",),
    "papers.title_none": ("title",),
    "papers.recalls_none": ("recalls", "recalls.open"),
}
"""Messages that say that there is none of something, each with the keys of the record that it needs."""


@cache
def demo(folder: Path) -> tuple[Store, Material, Surroundings, Renderer]:
    """Read the demo store once for all tests of a worker. Its pictures are those that were made before."""
    store, problems = read_store(folder, DAY)
    assert store is not None, problems
    figures = read_figures(content_folder(), store.settings.region)
    with engine_of(folder) as engine:
        pictures, _ = make_pictures(store, engine)
    around = Surroundings(
        store,
        read_theme(store),
        translator_for("en", store.settings, figures),
        "",
        DAY,
    )
    renderer = around.theme.speaking(around.translator.catalog)
    return store, Material({}, pictures, figures, {}), around, renderer


def told(record: VehicleRecord, folder: Path, sheets: bool = True) -> str:
    """Return the text of a vehicle's page and card, and of its sheets, which place the same views."""
    store, material, around, renderer = demo(folder)
    a_year = miles_a_year(store.settings, material.figures.region.average_a_year.value)
    condition = judge(record, material.figures, store.prices, a_year)
    facts = {record.stock: b"{}"}
    material = Material({record.stock: condition}, material.pictures, material.figures, facts)
    pages = []
    for piece in vehicle_pieces(record, around, material):
        if isinstance(piece, Page):
            pages.append(unmarked(renderer.page(piece.template, frame=piece.frame, **piece.views).decode()))
            if not sheets:
                break
    return "\n".join([*pages, listing_facts(record, condition, material.vocabulary, around).card.defects])


ALIKE = {"tires", "brakes", "checks"}
"""Groups whose entries are all of one kind."""
MOST_CHECKS = 5
"""Of so many check points, each is left out."""
KeyPath = tuple[str | int, ...]


def keys_of(written: Any, path: KeyPath = (), seen: set[KeyPath] | None = None) -> Iterator[KeyPath]:
    """Yield the path of every key. Entries of a list, and those of a group, have the same keys: each is yielded once.

    Languages are no keys of a record.
    """
    seen = set() if seen is None else seen
    if isinstance(written, list):
        for place, entry in enumerate(written):
            yield from keys_of(entry, (*path, place), seen)
    elif isinstance(written, dict) and not set(written) <= {"en", "es"}:
        entries = list(written.items())[: MOST_CHECKS if path == ("checks",) else None]
        for key, value in entries:
            kind = tuple("*" if isinstance(part, int) else part for part in (*path, key))
            if len(kind) > 2 and kind[0] in ALIKE:
                kind = (kind[0], "*", *kind[2:])
            if kind not in seen:
                seen.add(kind)
                yield (*path, key)
            yield from keys_of(value, (*path, key), seen)


def omissions(whole: dict[str, Any]) -> Iterator[tuple[KeyPath, ...]]:
    """Yield what to leave out together: a key that a message needs alone; else one key of the uppermost level, and
    within each of the others one key more. So every key is left out, in few pages."""
    paths = [path for path in keys_of(whole) if record_of(without(whole, path)) is not None]
    needed = {key for keys in ASSERTING.values() for key in keys}
    alone = [path for path in paths if ".".join(map(str, path)) in needed]
    yield from ((path,) for path in alone)
    others = [path for path in paths if path not in alone]
    upper, deep = [path for path in others if len(path) == 1], [path for path in others if len(path) > 1]
    groups = [list(group) for _, group in groupby(deep, key=lambda path: path[0])]
    for number in range(max(len(upper), *map(len, groups))):
        first = upper[number % len(upper)]
        yield first, *(group[number % len(group)] for group in groups if group[0][0] != first[0])
        # What would have ridden along within the key that is left out whole goes by itself.
        yield from ((group[number % len(group)],) for group in groups if group[0][0] == first[0])


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
    store, *_ = demo(folder)
    record = next(vehicle.record for vehicle in store.vehicles if vehicle.record.stock == stock)
    return record.model_dump(mode="json", exclude_unset=True)


def record_of(written: dict[str, Any]) -> VehicleRecord | None:
    """Return the record, or None where it lacks a key that every record must have."""
    try:
        return VehicleRecord.model_validate_json(json.dumps(written), strict=True)
    except ValidationError:
        return None


@pytest.mark.parametrize("stock", STOCKS)
def test_leaving_out_a_key_never_asserts_an_absence(demo_store: Path, stock: str):
    whole = as_written(demo_store, stock)
    _, _, around, _ = demo(demo_store)
    asserting = {
        key: re.compile(re.escape(around.translator.catalog.form(key)).replace(r"\{day\}", ".*")) for key in ASSERTING
    }
    tried: set[KeyPath] = set()
    for paths in omissions(whole):
        record = record_of(reduce(without, paths, whole))
        for path in paths if record is None else ():  # two keys may need each other, though neither is needed
            alone = record_of(without(whole, path))
            assert alone is not None
            told(alone, demo_store, sheets=False)
        tried |= set(paths)
        if record is None:
            continue
        names = {".".join(map(str, path)) for path in paths}
        text = told(record, demo_store, sheets=len(paths) == 1)
        said = {key for key, needed in ASSERTING.items() if names & set(needed) and asserting[key].search(text)}
        assert not said, f"said without {names}"
    assert len(tried) > 70


@pytest.mark.parametrize("stock", STOCKS)
def test_nothing_is_called_faultless_while_a_check_or_a_defect_stands(demo_store: Path, stock: str):
    """Nor is a vehicle that nobody looked at."""
    whole = as_written(demo_store, stock)
    say = demo(demo_store)[2].translator.say
    faultless = [say(key) for key in ("defects.none", "summary.worst.none")]
    attention = {**whole, "defects": "none", "checks": {"horn": "attention"}}
    unseen = {**whole, "defects": "none", "checks": {}, "before_delivery": "none", "work_done": "none"}
    for written in (attention, unseen):
        record = record_of({key: value for key, value in written.items() if key != "film"})
        assert record is not None
        text = told(record, demo_store)
        assert not [sentence for sentence in faultless if sentence in text]
        mending = "Not included, because they are repairs: horn."
        assert (mending in text) == (written is attention)
    assert say("summary.not_looked_at") in text


POINTS = ("horn", "heater", "front_bumper", "hood_latch", "keys", "brake_lines", "windshield", "mirrors")
DEFECTS = [
    {
        "id": f"found-{affects}",
        "kind": kind,
        "where": {"station": "front", "part": "hood"},
        "affects": affects,
        "words": "See there.",
    }
    for kind, affects in (("scratch", "looks"), ("noise", "function"), ("perforation", "safety"))
]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    checks=some.dictionaries(some.sampled_from(POINTS), some.sampled_from(["good", "attention", "not checked"])),
    defects=some.lists(some.sampled_from(DEFECTS), unique_by=lambda defect: str(defect["id"])),
    settled=some.booleans(),
)
def test_no_record_is_called_faultless_while_anything_calls_for_attention(
    demo_store: Path, checks: dict[str, str], defects: list[dict[str, Any]], settled: bool
):
    """And one that was looked at, with nothing found, is."""
    say = demo(demo_store)[2].translator.say
    work = [{"what": "Put right.", "on": "2026-09-01", "settles": [defect["id"] for defect in defects]}]
    written = {
        **{key: value for key, value in as_written(demo_store, "K101").items() if key != "film"},
        "checks": checks,
        "defects": defects or "none",
        "work_done": work if settled and defects else "none",
        "before_delivery": "none",
    }
    record = record_of(written)
    assert record is not None
    text = told(record, demo_store)
    faultless = [key for key in ("defects.none", "summary.worst.none") if say(key) in text]
    stands = "attention" in checks.values() or (defects and not settled)
    looked = bool(defects) or bool({"good", "attention"} & set(checks.values()))
    assert not (faultless and (stands or not looked)), faultless
    assert faultless or say("summary.worst.none_where_looked") in text or stands or not looked or defects
    assert (say("summary.not_looked_at") in text) != looked


@pytest.mark.parametrize("point", ["brake_lines", "steering_joints", "seat_belts", "windshield", "fuel_leaks"])
def test_attention_at_a_point_of_safety_holds_the_page_until_it_is_answered(demo_store: Path, point: str):
    store, material, *_ = demo(demo_store)
    whole = as_written(demo_store, "K101")
    checks = {**whole["checks"], point: "attention"}
    a_year = miles_a_year(store.settings, material.figures.region.average_a_year.value)
    answers: dict[str, dict[str, Any]] = {
        "nothing": {},
        "promise": {"before_delivery": [{"what": "Put it right.", "renews": [f"checks.{point}"], "by": "repaired"}]},
        "off road": {"not_for_road_use": True},
    }
    records = {name: record_of({**whole, "checks": checks, **answer}) for name, answer in answers.items()}
    may = {
        name: record is not None and judge(record, material.figures, store.prices, a_year).gate.may_publish
        for name, record in records.items()
    }
    assert may == {"nothing": False, "promise": True, "off road": True}
