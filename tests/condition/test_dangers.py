"""No dangerous record is published without a warning, and few harmless ones are questioned."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from typing import Any, get_args, get_origin

import pytest
import yaml

from sitegen.condition.basis.findings import Gate
from sitegen.condition.judging import judge_gate
from sitegen.condition.standing.words import unanswered_words
from sitegen.records.base import LocalizedText, Record
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.wear import Inspection
from tests.builders import a_vehicle, merged
from tests.condition.judged import US

DATA = Path(__file__).parent.parent / "data" / "condition"


def cases(*names: str) -> list[dict[str, Any]]:
    return [case for name in names for case in yaml.safe_load((DATA / f"{name}.yaml").read_text("utf-8"))]


DANGEROUS = cases("dangerous", "dangerous_shorthand", "dangerous_second", "dangerous_blind", "dangerous_third")
HARMLESS = tuple(cases(f"harmless{name}") for name in ("", "_shorthand", "_second", "_third"))
SOUND: dict[str, Any] = {"defects": [], "photos": [], "before_delivery": []}


def record_of(case: dict[str, Any]) -> VehicleRecord:
    """Return a sound vehicle with the changes of a case; `null` takes a key out, `defect` is its only defect."""
    changes = without_nulls(case.get("record", {}))
    if "defect" in case:
        changes["defects"] = [{"id": "adverse", **case["defect"]}]
    return a_vehicle(**merged(SOUND, changes))


def without_nulls(written: Any) -> Any:
    if isinstance(written, dict):
        return {key: ... if value is None else without_nulls(value) for key, value in written.items()}
    return [without_nulls(entry) for entry in written] if isinstance(written, list) else written


def gate_of(case: dict[str, Any]) -> Gate:
    return judge_gate(record_of(case), US)


def test_the_sound_vehicle_says_nothing_first():
    gate = gate_of({})
    assert (gate.holding, gate.first_words) == ((), ())


@pytest.mark.parametrize("case", DANGEROUS, ids=lambda case: case["name"])
def test_every_dangerous_record_is_held_or_stated_first(case):
    gate = gate_of(case)
    assert gate.holding or gate.first_words


def test_there_are_at_least_sixty_of_each():
    assert all(
        len(group) >= 60
        for group in (cases("dangerous"), cases("dangerous_shorthand"), cases("dangerous_second"), *HARMLESS)
    )


@pytest.mark.parametrize(
    "harmless", HARMLESS, ids=["in sentences", "in shorthand", "in shorthand again", "of the third round"]
)
def test_at_most_three_harmless_records_are_asked_about(harmless):
    asked = [case["name"] for case in harmless if not gate_of(case).may_publish]
    assert len(asked) <= 3, asked


def test_few_harmless_records_of_an_author_who_had_not_seen_the_lexicon_are_asked_about():
    asked = [case["name"] for case in cases("harmless_blind") if not gate_of(case).may_publish]
    assert len(asked) <= 6, asked


FIXED = {
    *(
        "stock",
        "formerly",
        "status",
        "vin",
        "file",
        "id",
        "kind",
        "service",
        "renews",
        "settles",
        "finishes",
        "about",
        "date_code",
    ),
    *("captions", "chapters", "poster", "by", "because", "harmless"),
}
"""Keys whose strings have a fixed form, name something of the record or the store, or answer a question."""
DANGER = "The brake pedal sinks to the floor."


def text_paths(kind: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Yield the path of every free text that a type of the record can hold, by its fields alone."""
    if kind is LocalizedText or kind is str:
        yield path
    elif isinstance(kind, type) and issubclass(kind, Record):
        for name, field in kind.model_fields.items():
            if name not in FIXED or (name == "by" and kind is Inspection):
                yield from text_paths(field.annotation, (*path, name))
    else:
        for inner in get_args(kind):
            if inner is not Ellipsis and not (isinstance(inner, type) and issubclass(inner, Enum)):
                yield from text_paths(inner, path)


PATHS = sorted(set(text_paths(VehicleRecord)))


def holding(kind: Any, path: tuple[str, ...]) -> Any:
    """Return a value of a type that holds the dangerous text at a path, and else as little as it can."""
    if kind is LocalizedText:
        return LocalizedText({"": DANGER})
    if kind is str:
        return DANGER
    if isinstance(kind, type) and issubclass(kind, Record):
        inner = holding(kind.model_fields[path[0]].annotation, path[1:])
        return kind.model_construct(_fields_set={path[0]}, **{path[0]: inner})
    choices = [inner for inner in get_args(kind) if path in set(text_paths(inner)) or inner in (LocalizedText, str)]
    chosen = next(inner for inner in choices if path in set(text_paths(inner)))
    if get_origin(kind) is tuple:
        return (holding(chosen, path),)
    return {"headlights": holding(chosen, path)} if get_origin(kind) is dict else holding(chosen, path)


@pytest.mark.parametrize("path", PATHS, ids=".".join)
def test_every_free_text_of_the_record_is_searched(path):
    """The paths come from the types of the record, so that a new key cannot be forgotten."""
    record = holding(VehicleRecord, path)
    found = list(unanswered_words(record, US))
    assert [tuple(step for step in one.path if isinstance(step, str) and step != "headlights") for one in found] == [
        path
    ]


def test_the_record_has_free_texts_in_many_places():
    assert len(PATHS) > 40
    assert {("notes",), ("tires", "left_front", "note"), ("checks", "note"), ("recalls", "open", "what")} <= set(
        PATHS
    )
