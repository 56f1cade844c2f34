"""Every change of a disclosed fact has a sentence in each language."""

from __future__ import annotations

import copy
import random
from typing import Any

import pytest

from sitegen.pages.kept.difference_text import difference_texts
from sitegen.pages.kept.differences import differences
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.record_json import PublishedDigests, disclosed_facts
from sitegen.shared_data import content_folder
from tests.builders import a_vehicle, some_settings, units_of

CHANGES, SEED = 400, 11
WHOLE: dict[str, Any] = {
    "coolant": {"freezes_at": "-33 °F", "tested_on": "2026-10-04"},
    "paint": [{"panel": "Hood", "readings": ["110 µm"]}],
    "before_delivery": [{"what": "New wiper blades."}],
    "additions": [{"what": "Cargo tray", "stays": True}],
    "equipment": {"has": ["Roof rails"], "lacks": ["Sunroof"]},
    "notes": "Kept in a garage.",
    "history": [{"on": "2026-10-18", "what": "One more photo."}],
}


def some_facts() -> dict[str, Any]:
    shown = PublishedDigests({"fog-light.jpg": "a" * 64, "front.jpg": "b" * 64})
    return disclosed_facts(a_vehicle(**WHOLE), some_settings(), shown)


def speaker(language: str) -> Translator:
    formats = Formats(language=language, currency="USD", units=units_of("us"), territory="US")
    return Translator(read_catalog(content_folder(), language, "us"), formats, "en")


def change_once(facts: Any, dice: random.Random) -> None:
    """Take away, double or write otherwise one thing somewhere in facts, or what they do not hold."""
    at = facts
    while True:
        keys = list(at) if isinstance(at, dict) else list(range(len(at)))
        key = dice.choice(keys)
        inner = at[key]
        if isinstance(inner, dict | list) and inner and dice.random() < 0.75:
            at = inner
            continue
        break
    match dice.randrange(3):
        case 0:
            del at[key]
        case 1:
            at[key] = dice.choice(
                ["7/32 in", "9 mm", "none", "not checked", "attention", "2 %", [], {}, 12, True, {"en": "Ours"}]
            )
        case 2 if isinstance(at, list):
            at.append(copy.deepcopy(inner))
        case _:
            at[key] = f"{inner} more"


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_changed_disclosure_has_a_sentence(language: str):
    """Days stay days, for no record has others. Of an earlier sitegen the facts may have any form."""
    translator, dice, changed = speaker(language), random.Random(SEED), 0
    for _ in range(CHANGES):
        old, new = some_facts(), some_facts()
        for facts in (old, new)[: dice.randint(1, 2)]:
            change_once(facts, dice)
        found = differences(old, new)
        assert bool(found) == (old != new), (old, new)
        for told in difference_texts(found, translator):
            assert told.text
        changed += old != new
    assert changed > CHANGES // 2


def test_a_sold_vehicles_price_and_a_former_number_need_no_sentence():
    old = some_facts()
    sold = {**old, "status": "sold", "sold_on": "2026-11-01"}
    del sold["price"]
    assert [str(told) for told in difference_texts(differences(old, sold), speaker("en"))] == [
        "Sold on November 1, 2026."
    ]
    renamed = {**old, "stock": "K950", "formerly": ["K900"]}
    assert [one.about for one in differences(old, renamed)] == ["stock"]
