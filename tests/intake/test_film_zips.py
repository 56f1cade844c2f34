"""Clips in a zip are taken in with a vehicle or with a visit, under names that no other clip has."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from sitegen.commands import main
from tests.intake.hostile_zips import Entry, zip_of
from tests.intake.test_zips import GOOD, RECORD

FILM = "film: {clips: [{file: front.MOV, station: front, captions: {en: front.vtt}}]}\n"
VISIT = f"on: 2026-10-10\n{FILM}"
CAPTIONS = b"WEBVTT\n\n00:00.000 --> 00:01.000\nFront.\n"
CLIPS = (Entry(b"film/front.MOV", b"first", method=0), Entry(b"film/front.vtt", CAPTIONS))


@pytest.fixture
def store(tmp_path):
    assert main(["start", str(tmp_path / "store")]) == 0
    return tmp_path / "store"


def take_in(store: Path, name: str, *entries: Entry) -> int:
    zipped = store.parent / name
    zipped.write_bytes(zip_of(entries))
    return main(["intake", str(store), str(zipped)])


def test_clips_come_in_with_a_vehicle_and_with_a_visit(store):
    """A clip filmed again under its old name gets another name, and the visit names that one."""
    with_film = Entry(b"inspection.yaml", (RECORD + FILM).encode())
    assert take_in(store, "first.zip", with_film, *GOOD[1:], *CLIPS) == 0
    film = store / "vehicles" / "K910" / "film"
    assert (film / "front.MOV").read_bytes() == b"first"

    at = b"vehicles/K910/"
    again = (Entry(at + b"visits/2026-10-10.yaml", VISIT.encode()), Entry(at + b"film/front.MOV", b"again"))
    assert take_in(store, "visit.zip", *again, Entry(at + b"film/front.vtt", CAPTIONS)) == 0
    visit = yaml.safe_load((film.parent / "visits" / "2026-10-10.yaml").read_text())
    (clip,) = visit["film"]["clips"]
    assert clip == {"file": "2026-10-10-front.MOV", "station": "front", "captions": {"en": "front.vtt"}}
    assert {file.name: file.read_bytes() for file in film.iterdir()} == {
        "front.MOV": b"first", "front.vtt": CAPTIONS, "2026-10-10-front.MOV": b"again",
    }  # fmt: skip


@pytest.mark.parametrize("name", [b"film/walk.exe", b"film/../walk.mov", b"film/a/walk.mov", b"film/con.mov"])
def test_other_files_of_a_film_are_refused(store, name, capsys):
    assert take_in(store, "K910.zip", *GOOD, Entry(name, b"film")) == 1
    assert "film" in capsys.readouterr().err
    assert not (store / "vehicles" / "K910").exists()
