"""What a salesperson is told of standing facts: the to-do list, and the question about rust."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.condition.judging import judge
from sitegen.condition.standing.words import notes_on_rust
from sitegen.pages.desk.to_do import Circumstances, ToDoKind, to_do
from sitegen.records.quantities import Distance
from tests.builders import a_vehicle, some_settings
from tests.condition.judged import AVERAGE, TODAY, US
from tests.pages.test_body_plan import translator

LID = {"id": "lid", "kind": "broken part", "where": "cabin, glove box lid", "affects": "function", "words": "Split."}
DING = {"id": "ding", "kind": "dent", "where": "rear, bumper", "affects": "looks", "words": "A small one."}


def stands(**changes: Any) -> list[str]:
    record = a_vehicle(**changes)
    around = Circumstances(some_settings(), US.vocabulary, TODAY, translator())
    condition = judge(record, US, None, Distance.of_miles(AVERAGE))
    return [item.words.text for item in to_do(record, condition, None, around) if item.kind is ToDoKind.STANDS]


def test_what_stands_and_is_not_promised_is_to_do():
    told = stands(defects=[LID, DING])
    assert any("glove box lid" in item for item in told)
    assert not any("bumper" in item for item in told)


def test_what_is_promised_is_no_longer_said_to_stand():
    promise = {"what": "Replace the lid.", "settles": ["lid"], "by": "replaced"}
    assert not any("glove box lid" in item for item in stands(defects=[LID], before_delivery=[promise]))


@pytest.mark.parametrize(
    ("changes", "count"),
    [
        ({"notes": "Surface rust on both rails."}, 1),
        ({"notes": {"es": "Tiene óxido en el piso."}}, 1),
        ({"checks": {"exhaust": {"finding": "good", "note": "Flaking rust on the muffler."}}}, 1),
        ({"notes": "No rust anywhere."}, 0),
        ({"notes": {"es": "Sin óxido."}}, 0),
        ({"notes": "Clean inside."}, 0),
    ],
)
def test_a_note_on_rust_is_found_in_either_language_and_a_denied_one_is_not(changes: dict[str, Any], count: int):
    assert len(notes_on_rust(a_vehicle(**{"notes": ..., "checks": {}, **changes}), US)) == count
