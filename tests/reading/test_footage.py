"""Filmed walk-arounds: each kind of mistake is reported at its place, and a valid one is read completely.

The videos in tests/data/videos are real files with 2.5 seconds of a test picture. Their properties are compared with
exiftool. Source for what browsers skip: WebVTT (W3C), section 6.
"""

from __future__ import annotations

import io
import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.reading.store import read_store
from sitegen.reading.video.mp4_files import mp4_facts
from sitegen.reading.video.webm_files import webm_facts
from sitegen.records.problems import Severity
from sitegen.records.walk_around import Cue
from tests.reading.texts import INSPECTION, MISTAKES, TODAY, mistakes, write_one

VIDEOS = MISTAKES / "videos"
DEFECT = """\
defects:
  - {id: rear-lamps, kind: cracked lens, where: {station: rear, part: lamps}, affects: looks, words: Cracked.,
     photos: [{file: rear.jpg, shows: The rear.}]}
"""
WALK = {"file": "walk.webm", "captions": {"en": "walk.en.vtt"}, "chapters": {"en": "chapters.en.vtt"}}
GOOD = {
    "walk.en.vtt": "WEBVTT\n\n00:00.000 --> 00:01.000\nFront.\n\n00:01.000 --> 00:02.000\nRear.\n",
    "chapters.en.vtt": "WEBVTT\n\n00:00.000 --> 00:01.000\nFront\n\nrear-lamps\n00:01.000 --> 00:02.000\nRear\n",
}


def write_filmed(folder: Path, case: dict[str, Any]) -> None:
    """Write a store whose only vehicle has the walk-around of a case."""
    walk = yaml.safe_dump({"walk_around": case.get("walk_around", WALK)}, sort_keys=False, default_flow_style=False)
    vehicle = write_one(folder, f"{INSPECTION}{DEFECT}{walk}", photos=["rear.jpg"])
    video = vehicle / "video"
    video.mkdir()
    for name, source in {"walk.webm": "plain.webm", **case.get("videos", {})}.items():
        if source is not None:
            content = (VIDEOS / source).read_bytes()
            (video / name).write_bytes(content[: case.get("keep_bytes", len(content))])
    for name, text in {**GOOD, **case.get("texts", {})}.items():
        encoding = case.get("encoding", "utf-8") if name in case.get("texts", {}) else "utf-8"
        (video / name).write_text(text, encoding, newline="")
    for link in case.get("links", ()):
        (video / link).unlink()
        (video / link).symlink_to(VIDEOS / "plain.webm")


@pytest.mark.parametrize("case", [pytest.param(case, id=case["mistake"]) for case in mistakes("mistakes_in_videos")])
def test_a_mistake_in_a_filmed_walk_around_is_reported(tmp_path, case):
    write_filmed(tmp_path, case)
    store, problems = read_store(tmp_path, TODAY)
    assert [problem.as_line() for problem in problems] == case["told"]
    assert (store is None) == any(problem.severity is Severity.ERROR for problem in problems)


def test_a_valid_walk_around_is_read(tmp_path):
    signs = "WEBVTT of the walk\n\nNOTE\nFor us.\n\nSTYLE\n::cue {}\n\nintro\n00:00.000 --> 1:00:01.500 align:start\n"
    signs += "<v Dana>Tread &lt; 4/32 in\n&amp; even.</v>\n"
    write_filmed(tmp_path, {"texts": {"walk.en.vtt": f"\ufeff{signs}".replace("\n", "\r\n")}})
    store, _ = read_store(tmp_path, TODAY)
    footage = store.footage_of("K900")
    assert (footage.width, footage.height, footage.length) == (64, 48, 2_500)
    assert footage.captions["en"].cues == (Cue("intro", 0, 3_601_500, "Tread < 4/32 in\n& even."),)
    assert [(cue.name, cue.start, cue.text) for cue in footage.chapters["en"].cues] == [
        ("", 0, "Front"),
        ("rear-lamps", 1_000, "Rear"),
    ]


def told_by_exiftool(video: Path) -> dict[str, Any]:
    done = subprocess.run(["exiftool", "-j", "-n", video], check=True, capture_output=True, text=True)
    (told,) = json.loads(done.stdout)
    return told


def seconds(written: float | str) -> float:
    """Return a length in seconds from exiftool's output."""
    parts = str(written).split(":")
    return sum(float(part) * 60**place for place, part in enumerate(reversed(parts)))


@pytest.mark.parametrize("name", sorted(video.name for video in VIDEOS.iterdir() if video.name != "matroska.webm"))
def test_video_metadata_agrees_with_exiftool(name):
    video = VIDEOS / name
    read = webm_facts if video.suffix == ".webm" else mp4_facts
    with video.open("rb") as file:
        facts = read(file, video.stat().st_size)
    told = told_by_exiftool(video)
    size = (told["ImageWidth"], told["ImageHeight"])
    assert (facts.width, facts.height) == (size if told.get("Rotation", 0) in (0, 180) else size[::-1])
    assert (facts.length or 0) / 1000 == seconds(told.get("Duration", 0))
    assert facts.mime == told["MIMEType"]
    assert facts.coding == told.get("CodecID", told.get("CompressorID"))
    assert facts.has_location == bool({"GPSCoordinates", "LocationInformation", "Location"} & set(told))


@pytest.mark.parametrize("name", ["plain.mp4", "plain.webm"])
def test_a_truncated_video_gives_correct_metadata_or_none(name):
    """No truncation raises, and any metadata that is returned is correct."""
    content = (VIDEOS / name).read_bytes()
    read = webm_facts if name.endswith(".webm") else mp4_facts
    whole = read(io.BytesIO(content), len(content))
    told = {read(io.BytesIO(content[:size]), size) for size in range(len(content))}
    assert told <= {None, whole}
    assert None in told
