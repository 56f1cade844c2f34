"""Films in records: each kind of mistake is reported at its place, and the files of a valid one are read.

What a film's file holds is not looked at here. Source for what browsers skip in captions: WebVTT (W3C), section 6.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.reading.store import read_store
from sitegen.records.film import Cue
from sitegen.records.problems import Severity
from tests.reading.texts import INSPECTION, TODAY, mistakes, write_one

DEFECT = """\
defects:
  - {id: rear-lamps, kind: cracked lens, where: {station: rear, part: lamps}, affects: looks, words: Cracked.,
     photos: [{file: rear.jpg, shows: The rear.}]}
"""
TIRES = "tires: {left_front: {tread: {center: 5/32 in}}, right_rear: {tread: {center: 6/32 in}}}\n"
FILM = {
    "clips": [
        {"file": "walk.webm", "station": "front", "captions": {"en": "walk.en.vtt"}},
        {"file": "walk.webm", "defect": "rear-lamps", "from": 1, "to": 2},
    ]
}
GOOD = {"walk.en.vtt": "WEBVTT\n\n00:00.000 --> 00:01.000\nFront.\n\n00:01.000 --> 00:02.000\nRear.\n"}


def write_filmed(folder: Path, case: dict[str, Any]) -> None:
    """Write a store whose only vehicle has the film of a case."""
    film = yaml.safe_dump({"film": case.get("film", FILM)}, sort_keys=False, default_flow_style=False)
    vehicle = write_one(folder, f"{INSPECTION}{TIRES}{DEFECT}{film}", photos=["rear.jpg"])
    place = vehicle / "film"
    place.mkdir()
    for name, content in {"walk.webm": "a film", **case.get("files", {})}.items():
        if content is not None:
            (place / name).write_text(content)
    for name, text in {**GOOD, **case.get("texts", {})}.items():
        encoding = case.get("encoding", "utf-8") if name in case.get("texts", {}) else "utf-8"
        (place / name).write_text(text, encoding, newline="")
    for link in case.get("links", ()):
        (place / link).unlink()
        (place / link).symlink_to(vehicle / "photos" / "rear.jpg")


@pytest.mark.parametrize("case", [pytest.param(case, id=case["mistake"]) for case in mistakes("mistakes_in_films")])
def test_a_mistake_in_a_film_is_reported(tmp_path, case):
    write_filmed(tmp_path, case)
    store, problems = read_store(tmp_path, TODAY)
    assert [problem.as_line() for problem in problems] == case["told"]
    assert (store is None) == any(problem.severity is Severity.ERROR for problem in problems)


def test_the_files_of_a_valid_film_are_read(tmp_path):
    signs = "WEBVTT of the walk\n\nNOTE\nFor us.\n\nSTYLE\n::cue {}\n\nintro\n00:00.000 --> 1:00:01.500 align:start\n"
    signs += "<v Dana>Tread &lt; 5/32 in\n&amp; even.</v>\n"
    write_filmed(tmp_path, {"texts": {"walk.en.vtt": f"\ufeff{signs}".replace("\n", "\r\n")}})
    store, _ = read_store(tmp_path, TODAY)
    (vehicle,) = store.vehicles
    first, second = vehicle.clips
    assert first.captions["en"] == (Cue("intro", 0, 3_601_500, "Tread < 5/32 in\n& even."),)
    assert (second.captions, second.path.name) == ({}, "walk.webm")
    clip = vehicle.record.film.clips[1]
    assert (clip.starts, clip.ends, clip.defect) == (1, 2, "rear-lamps")
