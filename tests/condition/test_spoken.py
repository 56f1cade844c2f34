"""The words spoken in a film are searched as the record's texts are."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sitegen.condition.basis.findings import Gate
from sitegen.condition.judging import judge_gate
from sitegen.records.film import ClipFiles, Cue
from tests.builders import a_vehicle
from tests.condition.judged import US

STATION: dict[str, Any] = {"file": "a.mp4", "station": "underside"}


def gate_of(*spoken: str, language: str = "en", clip: dict[str, Any] = STATION, **changes: Any) -> Gate:
    """Return the gate's decision on a vehicle with one clip whose cues hold the given texts."""
    cues = tuple(Cue("", place * 1000, place * 1000 + 900, text) for place, text in enumerate(spoken))
    record = a_vehicle(**{"defects": [], "photos": [], "before_delivery": [], "film": {"clips": [clip]}, **changes})
    return judge_gate(record, US, [ClipFiles(Path("a.mp4"), {language: cues})])


@pytest.mark.parametrize(
    ("spoken", "language"),
    [
        (("The brake hose is", "cracked through."), "en"),
        (("Aquí gotea", "gasolina sobre el escape."), "es"),
    ],
)
def test_a_danger_spoken_across_two_cues_is_a_question(spoken: tuple[str, ...], language: str):
    (hold,) = gate_of(*spoken, language=language).holding
    assert hold.is_question
    assert hold.path == ("film", "clips", 0, "captions", language)
    assert hold.said.key == "gate.spoken_question"


def test_a_harmless_sentence_and_a_denied_danger_hold_nothing():
    assert gate_of("This is the underside.", "The hoses are dry, and no brake hose is cracked.").may_publish


def test_a_quotation_with_its_reason_answers():
    because = {"words": "The brake hose is cracked through.", "because": "It is the old one, shown in the hand."}
    assert gate_of("The brake hose is cracked through.", harmless=[because]).may_publish


def test_a_clip_of_a_defect_or_of_a_station_with_a_danger_in_the_record_is_not_asked_about():
    defect = {
        "id": "hose",
        "kind": "fluid leak",
        "where": "underside, brake hose",
        "affects": "safety",
        "words": "The hose is cracked.",
    }
    mend = [{"what": "Replace the hose.", "settles": ["hose"], "by": "replaced"}]
    said = "The brake hose is cracked through."
    assert not gate_of(said).may_publish
    assert gate_of(said, defects=[defect], before_delivery=mend).may_publish
    of_defect = {"file": "a.mp4", "defect": "hose"}
    assert gate_of(said, clip=of_defect, defects=[defect], before_delivery=mend).may_publish


def test_a_danger_of_another_part_at_the_same_station_or_in_a_defects_clip_is_asked_about():
    hose = {"id": "hose", "kind": "fluid leak", "where": "underside, brake hose", "affects": "safety"}
    defect = {**hose, "words": "The hose is cracked."}
    mend = [{"what": "Replace the hose.", "settles": ["hose"], "by": "replaced"}]
    for clip in (STATION, {"file": "a.mp4", "defect": "hose"}):
        (hold,) = gate_of("The frame is rusted through.", clip=clip, defects=[defect], before_delivery=mend).holding
        assert hold.said.key == "gate.spoken_question"
