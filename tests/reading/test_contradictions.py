"""Contradictions within a record are reported with both places, and so are claims that no seller may make."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.intake.visit_files import visit_text
from sitegen.reading.store import read_vehicle_alone
from sitegen.records.problems import Problem
from sitegen.records.visits.conversion import as_plain, visit_of
from tests.builders import a_vehicle, an_inspection, merged, some_settings

DEFECT: dict[str, Any] = {
    "id": "windshield-crack",
    "kind": "glass crack",
    "where": {"station": "roof and glass", "part": "windshield"},
    "affects": "safety",
    "words": "A crack as long as a hand.",
}


def problems_of(folder: Path, now: dict[str, Any], before: dict[str, Any] | None = None) -> list[Problem]:
    """Return the problems of a vehicle with some changes, or of one with a whole later look if it had another."""
    inspection = an_inspection(**now)
    own = folder / inspection["stock"]
    (own / "photos").mkdir(parents=True)
    if before is not None:
        first = merged({"inspection": {"done_on": "2026-08-01"}}, before)
        visit = visit_of(a_vehicle(**now), a_vehicle(**first))
        (own / "visits").mkdir()
        (own / "visits" / f"{visit.day}.yaml").write_text(visit_text(as_plain(visit)), "utf-8")
        inspection = an_inspection(**first)
    (own / "inspection.yaml").write_text(yaml.safe_dump(inspection), "utf-8")
    _, problems = read_vehicle_alone(own, "inspection.yaml", some_settings(), date(2026, 11, 25))
    return list(problems)


def found(problems: list[Problem], words: str) -> list[Problem]:
    return [problem for problem in problems if words in problem.found]


CASES: dict[str, tuple[dict[str, Any], dict[str, Any] | None, str, str]] = {
    "good beside a defect": (
        {"checks": {"windshield": "good"}, "defects": [DEFECT]},
        None,
        "good, beside the defect windshield-crack",
        "defects[1].id",
    ),
    "good beside a promise": (
        {
            "checks": {"brake_lines": "good"},
            "before_delivery": [{"what": "Replace both lines.", "renews": ["checks.brake_lines"]}],
        },
        None,
        "good, though a promise repairs it",
        "before_delivery[1].renews[1]",
    ),
    "repaired and left": (
        {
            "defects": [{**DEFECT, "done": "left as it is"}],
            "work_done": [{"what": "Fitted a new one.", "on": "2026-10-05", "settles": ["windshield-crack"]}],
        },
        None,
        "windshield-crack left as it is",
        "work_done[1].settles[1]",
    ),
    "good again": (
        {"checks": {"brake_lines": "good"}, "work_done": []},
        {"checks": {"brake_lines": "attention"}, "work_done": []},
        "good, though it needed attention on 2026-08-01",
        "checks.brake_lines",
    ),
    "tread that grew": (
        {
            "tires": {"left_front": {"tread": {"outer": "9/32 in", "center": "9/32 in", "inner": "9/32 in"}}},
            "work_done": [],
        },
        {"tires": {"left_front": {"tread": {"inner": "4/32 in"}}}, "work_done": []},
        "though it was 4/32 in on 2026-08-01",
        "tires.left_front",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_contradiction_names_both_places(name: str, tmp_path: Path):
    now, before, words, other_place = CASES[name]
    (problem,) = found(problems_of(tmp_path, now, before), words)
    assert other_place in problem.found
    assert problem.line > 0


def test_work_in_between_is_no_contradiction(tmp_path: Path):
    work = {"what": "Replaced the lines.", "on": "2026-09-20", "renews": ["checks.brake_lines"]}
    now = {"checks": {"brake_lines": "good"}, "work_done": [work]}
    before = {"checks": {"brake_lines": "attention"}, "work_done": []}
    assert not found(problems_of(tmp_path, now, before), "though it needed attention")


@pytest.mark.parametrize(
    "words", ["No accidents.", "It passed inspection in May.", "Safe to drive.", "Runs like new.", "Como nueva."]
)
def test_words_that_no_seller_should_write_are_warned_of(words: str, tmp_path: Path):
    (problem,) = found(problems_of(tmp_path, {"notes": words}), "the words")
    assert "16 CFR 455" in problem.mend
    assert problem.as_line().count("warning")


def test_plain_words_are_not_warned_of(tmp_path: Path):
    notes = "We drove it 12 miles. It starts cold, stops straight, and the heater works."
    assert not found(problems_of(tmp_path, {"notes": notes}), "the words")
