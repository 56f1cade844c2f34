"""Films of a store, through the build engine: what is made again and when, their order, and what cannot be shown.

What is published is played and read by others in `tests/site/vehicle/test_film.py`.
"""

from __future__ import annotations

import hashlib
import shutil
from datetime import date
from pathlib import Path

import pytest
import yaml

from sitegen.engine.engine import Engine
from sitegen.engine.errors import ChangedFileError
from sitegen.film import films, tasks
from sitegen.film.films import make_films
from sitegen.film.program import Program
from sitegen.reading.store import read_store
from sitegen.records.film import ShownFilm
from sitegen.records.problems import Problem
from tests.film.films import PROGRAM, Film, make_film
from tests.reading.texts import INSPECTION, write_one

TODAY = date(2026, 10, 31)
DEFECTS = """\
defects:
  - {id: rear-lamps, kind: cracked lens, where: {station: rear, part: lamps}, affects: looks, words: Cracked.,
     photos: [{file: rear.jpg, shows: The rear.}]}
  - {id: hood-dent, kind: dent, where: {station: front, part: hood}, affects: looks, words: Dented.,
     photos: [{file: hood.jpg, shows: The hood.}]}
"""
CLIPS = [
    {"file": "a.mov", "defect": "rear-lamps"},
    {"file": "b.mp4", "defect": "hood-dent", "from": 0.5, "to": 1.5, "captions": {"en": "b.vtt"}},
    {"file": "b.mp4", "station": "cold start"},
]


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with one vehicle whose film has an upright and two wide clips."""
    folder = tmp_path_factory.mktemp("filmed") / "store"
    folder.mkdir()
    film = yaml.safe_dump({"film": {"clips": CLIPS}}, sort_keys=False)
    vehicle = write_one(folder, f"{INSPECTION}{DEFECTS}{film}", photos=["rear.jpg", "hood.jpg"])
    (vehicle / "film").mkdir()
    make_film(Film("a.mov", "hevc", (320, 180), rotation=90, seconds=1), vehicle / "film")
    make_film(Film("b.mp4", size=(320, 180), seconds=2), vehicle / "film")
    (vehicle / "film" / "b.vtt").write_text("WEBVTT\n\n00:00.200 --> 00:00.900\nA dent.\n")
    return folder


def made(store: Path) -> tuple[ShownFilm | None, tuple[Problem, ...], list[str]]:
    """Return the film, its problems, and which tasks of films ran."""
    with Engine.opened(store, TODAY, pytest.fail) as engine:
        read, _ = read_store(store, TODAY)
        with_films, problems = make_films(read, engine)
        ran = [name.rpartition(":")[2] for name, _ in engine.ran]
        film = with_films.film_of("K900")
        for each in film.clips if film is not None else ():
            assert engine.store.file(each.file.digest) is not None
        return film, problems, ran


def test_clips_are_in_the_order_of_the_walk_and_are_made_once(store: Path):
    film, problems, ran = made(store)
    assert [each.clip.defect for each in film.clips] == [None, "hood-dent", "rear-lamps"]
    assert (film.width, film.height) == (320, 180)
    assert [round(each.end - each.start, -2) for each in film.clips] == [2000, 1000, 1000]
    assert film.length == film.clips[-1].end
    assert len(film.captions) == 1
    assert [problem.file for problem in problems] == ["vehicles/K900/film/a.mov"]
    assert "captions of what is said" in problems[0].expected
    assert ran.count("coded_clip") == 3
    again, _, ran_again = made(store)
    assert (again, ran_again) == (film, [])


def test_the_original_is_kept_once(store: Path):
    """No folder of the store holds a film's source again: neither the cache nor what the ledger will keep."""
    made(store)
    for source in (store / "vehicles" / "K900" / "film").glob("*.m*"):
        content = source.read_bytes()
        same = [file for file in store.rglob("*") if file.is_file() and file.stat().st_size == len(content)]
        assert [file for file in same if file.read_bytes() == content] == [source]


def test_a_source_that_changes_while_it_is_coded_is_not_used(store: Path, tmp_path: Path):
    """Its clip would be stored under the digest of other bytes. The problem names its path."""
    copy = Path(shutil.copytree(store, tmp_path / "store", ignore=shutil.ignore_patterns(".cache")))
    source = copy / "vehicles" / "K900" / "film" / "a.mov"
    with Engine.opened(copy, TODAY, pytest.fail) as engine:
        digest = hashlib.sha256(source.read_bytes()).hexdigest()
        engine.sources[digest] = source
        with pytest.raises(ChangedFileError), engine.source_file(digest) as file:
            file.write_bytes(b"another film")
        with pytest.raises(ChangedFileError), engine.source_file(digest):
            pass


def test_a_clip_that_is_filmed_again_alone_is_made_again(store: Path, tmp_path: Path):
    before, _, _ = made(store)
    copy = Path(shutil.copytree(store, tmp_path / "store"))
    make_film(Film("a.mov", "hevc", (320, 180), rotation=90, seconds=1.5), copy / "vehicles" / "K900" / "film")
    film, _, ran = made(copy)
    assert sorted(ran) == ["coded_clip", "joined_film", "joined_film", "source_file"]
    assert [each.file for each in film.clips[:2]] == [each.file for each in before.clips[:2]]
    assert film.clips[2].file != before.clips[2].file


def test_a_damaged_result_is_made_again(store: Path, tmp_path: Path):
    copy = Path(shutil.copytree(store, tmp_path / "store"))
    film, _, _ = made(copy)
    with Engine.opened(copy, TODAY, pytest.fail) as engine:
        kept = engine.store.files / film.clips[0].file.digest
    kept.chmod(0o644)
    kept.write_bytes(b"not a film")
    again, _, ran = made(copy)
    assert again == film
    assert "coded_clip" in ran


def test_another_version_of_the_program_makes_every_clip_again(
    store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    copy = Path(shutil.copytree(store, tmp_path / "store"))
    made(copy)
    for module in (films, tasks):
        monkeypatch.setattr(module, "find_program", lambda: Program(PROGRAM.path, "ffmpeg version 1"))
    _, _, ran = made(copy)
    assert ran.count("coded_clip") == 3


@pytest.mark.parametrize("content", [b"", b"GIF89a", b"#EXTM3U\n#EXTINF:1,\n/etc/passwd\n"])
def test_a_file_that_is_no_film_is_told_at_its_path(store: Path, tmp_path: Path, content: bytes):
    copy = Path(shutil.copytree(store, tmp_path / "store"))
    (copy / "vehicles" / "K900" / "film" / "a.mov").write_bytes(content)
    film, problems, _ = made(copy)
    assert film is None
    (problem,) = problems
    assert problem.as_line() == (
        "vehicles/K900/film/a.mov: found a film which is damaged, or holds no picture that can be decoded; expected "
        "a film that can be shown; to mend, copy it again from the phone, or take its clips out of the inspection"
    )


def test_without_the_program_one_line_says_what_to_install(store: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(films, "find_program", lambda: None)
    film, (problem,), ran = made(store)
    assert (film, ran) == (None, [])
    assert 'pip install "sitegen[film]"' in problem.mend
