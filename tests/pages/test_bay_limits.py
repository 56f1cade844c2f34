"""The bay page accepts what the reader accepts, and holds what the gate holds."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.condition.basis.findings import Hold
from sitegen.condition.judging import judge
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.store import read_vehicle_alone
from sitegen.records.problems import Severity
from sitegen.records.quantities import Distance
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.shared_data import content_folder
from tests.builders import some_settings
from tests.pages.bay_entries import LEFT_TO_YAML, Entries, answers, some_entries, vocabulary_of

TODAY = date(2026, 11, 25)
CASES = 80

WHEEL = re.compile(
    r"(?<=^tires\.)(left|right)_(front|rear)(_inner)?|(?<=^brakes\.)(left|right)_(front|rear)|(?<=^tires\.)spare"
)


@pytest.mark.parametrize("region", ["us", "gb"])
def test_the_bay_page_holds_and_saves_like_the_gate_and_the_reader(region: str, tmp_path: Path):
    vocabulary, figures = vocabulary_of(region), read_figures(content_folder(), region)
    settings = some_settings(region=region, languages=["en", "es"])
    dice = random.Random(570)
    given = [some_entries(dice, vocabulary) for _ in range(CASES)]
    seen: set[str] = set()
    for number, (entries, answer) in enumerate(zip(given, answers(given, vocabulary, str(TODAY)), strict=True)):
        assert answer["must"] == []
        folder = tmp_path / str(number) / entries["stock"]
        (folder / "photos").mkdir(parents=True)
        (folder / "inspection.yaml").write_text(answer["text"], "utf-8")
        for name in answer["files"]:
            (folder / "photos" / name).touch()
        record, problems = read_vehicle_alone(folder, "inspection.yaml", settings, TODAY)
        errors = [problem.as_line() for problem in problems if problem.severity is Severity.ERROR]
        assert not errors
        assert record is not None
        holding = judge(record, figures, None, Distance.of_miles(12_000)).gate.holding
        held = [hold.where for hold in holding if is_held_by_the_page(hold)]
        assert sorted(answer["held"]) == sorted(held)
        seen |= {where.split(".")[0] + "." + where.split(".")[-1] for where in held}
    kinds = {"tires.inner", "brakes.outer", "brakes.leading", "brakes.rotor", "brakes.drum", "checks.brake_lines"}
    assert seen >= {*kinds, "defects.affects", "defects.kind"}


def is_held_by_the_page(hold: Hold) -> bool:
    """Return whether the page holds this kind of thing.

    Questions about words and rarer figures are left to `check`.
    """
    figures = ("tire_below", "lining_below", "rotor_beyond", "drum_beyond")
    kinds = (*figures, "check", "missing", "safety_defect", "tire_ended")
    is_left = hold.where in ("checks.wipers_and_washers", "checks.exhaust") and hold.said.key == "gate.check"
    return hold.said.key in {f"gate.{kind}" for kind in kinds} and not is_left


PLAIN: Entries = {
    "stock": "K900", "vin": "00ZWA5H48JD000101", "year": "2018", "make": "Brevik", "model": "Fjordline",
    "body": "suv", "drive": "awd", "fuel": "gasoline", "terms": "as is", "odometer": "64000", "read_on": "2026-10-04",
}  # fmt: skip
FAULTS: list[tuple[str, Any, str]] = [
    ("vin", "00ZWA5H47JD000101", "VIN"),
    ("year", "2017", "The VIN tells model year 2018"),
    ("stock", "K 9", "Stock number"),
    ("odometer", "64.000", "Odometer reading"),
    ("odometer", "1,000,000", "Odometer reading"),
    ("read_on", "2026-11-26", "Read on"),
    ("read_on", "2016-12-31", "Read on"),
    ("brand", "some", "The brand, word for word"),
    # 49 CFR 580.17(a): from model year 2011 on, exempt after 20 years; or above 16,000 lb.
    ("exempt", {"statement": "exempt", "gross_weight_pounds": "5110"}, "not exempt from the statement"),
    ("tires", {"left_front": {"inner": "9/32 in", "new_tread": "8/32 in"}}, "Left front: new parts have at least"),
    ("bills", [{"on": "2026-12", "services": {"engine_oil": True}}], "Bill or sticker 1"),
    ("tires", {"left_front": {"date_code": "5426"}}, "Left front"),
    ("tires", {"left_front": {"date_code": "4926"}}, "Left front"),
    ("tires", {"spare": {"size": "235"}}, "Spare"),
    ("brakes", {"left_rear": {"kind": "drum", "drum": "601"}}, "Left rear"),
    ("brakes", {"left_rear": {"kind": "disc", "rotor_discard": "marked"}}, "Left rear"),
    ("fluids", {"tested": "1,200"}, "Battery, tested CCA"),
    ("fluids", {"moisture": "-1"}, "Water in the brake fluid"),
    ("fluids", {"fitted_on": "2026-12"}, "Battery fitted in"),
    ("paint", {"hood": "112 and 108"}, "Hood"),
    ("defects", [{"station": "front"}], "Defect 1"),
    ("price", "0", "Price"),
    ("terms", "warranty", "warranty"),
    ("doors", "9", "Doors"),
]


def test_the_bay_page_reports_what_the_reader_would_reject_before_saving():
    given = [PLAIN, *({**PLAIN, **(value if key == "exempt" else {key: value})} for key, value, _ in FAULTS)]
    sound, *faulty = answers(given, vocabulary_of("us"), str(TODAY))
    assert sound["must"] == []
    for (key, value, told), answer in zip(FAULTS, faulty, strict=True):
        assert [told in fault for fault in answer["must"]] == [True], (key, value, answer["must"])


def keys_of(part: dict[str, Any], definitions: dict[str, Any], before: str = "") -> Iterator[str]:
    """Yield every key of a JSON Schema, as a dotted name; lists count as what they hold."""
    if "$ref" in part:
        yield from keys_of(definitions[part["$ref"].rpartition("/")[2]], definitions, before)
    for inner in (*part.get("anyOf", ()), *part.get("oneOf", ()), *([part["items"]] if "items" in part else ())):
        yield from keys_of(inner, definitions, before)
    for name, inner in part.get("properties", {}).items():
        yield f"{before}{name}"
        yield from keys_of(inner, definitions, f"{before}{name}.")


def keys_in(value: Any, before: str = "") -> Iterator[str]:
    """Yield every key of a record, as a dotted name."""
    for inner in value if isinstance(value, list) else ():
        yield from keys_in(inner, before)
    for name, inner in value.items() if isinstance(value, dict) else ():
        yield f"{before}{name}"
        yield from keys_in(inner, f"{before}{name}.")


def test_the_bay_page_has_a_field_for_every_key_except_those_left_to_yaml():
    vocabulary, dice = vocabulary_of("us"), random.Random(7)
    given = [some_entries(dice, vocabulary) for _ in range(CASES)]
    asked = {
        key for answer in answers(given, vocabulary, str(TODAY)) for key in keys_in(yaml.safe_load(answer["text"]))
    }
    schema = VehicleRecord.model_json_schema()
    not_asked = {WHEEL.sub("*", key) for key in set(keys_of(schema, schema["$defs"])) - asked}
    assert {key for key in not_asked if not any(f"{key}.".startswith(f"{left}.") for left in LEFT_TO_YAML)} == set()
    assert not_asked >= LEFT_TO_YAML
