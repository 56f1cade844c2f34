"""A stored result is used while every recorded answer is unchanged, and no longer: an edit for each kind of question.

Source: A. Mokhov, N. Mitchell, S. Peyton Jones, "Build Systems a la Carte", 2018, section 4.2.2 (verifying traces).
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

from sitegen.engine import engine as engine_module
from sitegen.engine.engine import KINDS, Engine
from sitegen.engine.file_states import FileStates, clock_of_disk, digest_of
from sitegen.engine.mapping import Executors, map_task
from sitegen.engine.reader import Reader
from sitegen.engine.results import Results
from sitegen.engine.task import Task
from sitegen.engine.workers import LocalWorkers
from tests.engine.graph import days_known, days_page, faulty, length, page, picture, shared_page

TODAY = date(2026, 3, 1)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a file for each kind of question."""
    store = tmp_path / "store"
    for name, text in {
        **{"files/a": "abc", "files/b": "bcd", "settings": "Ferrow,blue", "words/a/1": "one"},
        **{"photos/front.jpg": "", "pages/about": "about us", "programs/numbering": "#!/bin/sh\necho 1 $1\n"},
    }.items():
        (store / name).parent.mkdir(parents=True, exist_ok=True)
        (store / name).write_text(text)
    (store / "programs/numbering").chmod(0o755)
    return store


def computed(folder: Path, task: Task[Any] = page, today: date = TODAY) -> tuple[Any, list[str]]:
    """Return the result for the key `a` by an engine begun anew, and which tasks it ran."""
    path = f"{folder / 'programs'}{os.pathsep}{os.environ['PATH']}"
    with patch.dict(os.environ, PATH=path), Engine.opened(folder, today, pytest.fail) as engine:
        result = engine.result(task, "a")
        return result, [name.rpartition(":")[2] for name, _ in engine.ran]


def replace_with_same_size_and_time(file: Path) -> None:
    times, content = file.stat(), file.read_bytes()
    file.write_bytes(content[:-1] + bytes([content[-1] ^ 1]))
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))


EDITS: dict[str, tuple[str, Callable[[Path], object]]] = {
    "a file": ("file", lambda store: (store / "files/a").write_text("abcd")),
    "a file of the same size and time": ("input", lambda store: replace_with_same_size_and_time(store / "words/a/1")),
    "a file gone": ("file", lambda store: (store / "files/a").unlink()),
    "a part of the settings": ("part", lambda store: (store / "settings").write_text("Ferrow,green")),
    "no settings": ("part", lambda store: (store / "settings").unlink()),
    "an input": ("input", lambda store: (store / "words/a/2").write_text("two")),
    "names": ("names", lambda store: (store / "photos/front.jpg").rename(store / "photos/rear.jpg")),
    "a file of a tree": ("tree", lambda store: (store / "pages/about").write_text("about them")),
    "the program": ("program", lambda store: (store / "programs/numbering").write_text("#!/bin/sh\necho 2 $1\n")),
    "another task": ("result", lambda store: (store / "files/a").write_text("abcdefg")),
}


@pytest.mark.parametrize("name", EDITS)
def test_after_an_edit_the_result_is_that_of_a_cold_build(folder: Path, name: str):
    before, ran = computed(folder)
    assert ran == ["length", "page"]
    assert computed(folder) == (before, [])
    EDITS[name][1](folder)
    after, ran = computed(folder)
    assert "page" in ran
    shutil.rmtree(folder / ".cache")
    assert computed(folder)[0] == after != before


def test_the_day_is_a_question_whose_answer_holds_until_it_turns(folder: Path):
    before, _ = computed(folder)
    assert computed(folder, today=date(2026, 1, 1)) == (before, [])
    after, ran = computed(folder, today=date(2026, 3, 2))
    assert (after != before, ran) == (True, ["page"])
    assert computed(folder, today=date(2030, 1, 1)) == (after, [])
    with Engine.opened(folder, TODAY, pytest.fail) as engine:
        engine.answer("day 2026-03-02")
        engine.answer("day 2026-02-28")
        engine.answer("day 2027-01-01")
        assert engine.until == date(2026, 3, 2)


def test_a_change_stops_where_a_result_comes_out_equal(folder: Path):
    before, _ = computed(folder)
    (folder / "files/a").write_text("xyz")
    assert computed(folder) == (before, ["length"])
    (folder / "settings").write_text("Another name,blue")  # a part that nobody asked for
    assert computed(folder) == (before, [])


def test_another_program_runs_everything_again(folder: Path, monkeypatch: pytest.MonkeyPatch):
    before, _ = computed(folder)
    monkeypatch.setattr(engine_module, "digest_of_program", lambda: "another")
    assert computed(folder) == (before, ["length", "page"])


@pytest.mark.parametrize("kind", sorted(KINDS.keys() - {"day"}))
def test_an_engine_that_omits_a_kind_of_recording_gives_a_stale_result(
    folder: Path, kind: str, monkeypatch: pytest.MonkeyPatch
):
    """At least one of the edits above then leaves a stale result."""
    record = Reader._record

    def forget(read: Reader, question: str) -> None:
        if not question.startswith(f"{kind} "):
            record(read, question)

    monkeypatch.setattr(Reader, "_record", forget)
    stale = 0
    for number, (of_kind, edit) in enumerate(EDITS.values()):
        if of_kind != kind:
            continue
        store = shutil.copytree(folder, folder.with_name(f"copy {number}"))
        before, _ = computed(store)
        edit(store)
        stale += computed(store)[0] == before
    assert stale


def test_an_engine_that_omits_recording_the_day_gives_a_stale_result(folder: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(Reader, "_record_day", lambda *_: None)
    before, _ = computed(folder)
    assert computed(folder, today=date(2026, 3, 2))[0] == before


def test_workers_give_the_same_results_and_their_traces_are_stored(folder: Path):
    keys = ["a", "b", "missing"]
    with Engine.opened(folder, TODAY, pytest.fail) as engine, LocalWorkers(2) as workers:
        executors = Executors(near=workers, worth_workers=0.0)
        failed: list[str] = []
        assert map_task(engine, shared_page, keys, executors, lambda key, _: failed.append(key)) == ["a", "b"]
        assert failed == ["missing"]
        results = [engine.result(shared_page, key) for key in ("a", "b")]
    assert results == [b"abcabcabcFerrow", b"bcdbcdbcdFerrow"]
    assert computed(folder, shared_page) == (results[0], [])
    (folder / "files/a").write_text("x")
    assert computed(folder, shared_page) == (b"xxxFerrow", ["picture", "shared_page"])


def days_given(folder: Path, days: tuple[date, ...] | None) -> tuple[bytes, bool]:
    """Return the page of the days that are given, and whether its task was run."""
    with Engine.opened(folder, TODAY, pytest.fail) as engine:
        if days is not None:
            engine.give(days_known, "a", days)
        return engine.result(days_page, "a"), bool(engine.ran)


def test_a_given_value_holds_for_one_command_and_its_equal_keeps_results_valid(folder: Path):
    first = (TODAY, date(2026, 3, 2))
    assert days_given(folder, first) == (repr(first).encode(), True)
    assert days_given(folder, first) == (repr(first).encode(), False)
    with pytest.raises(LookupError, match="days_known of a was not given"):
        days_given(folder, None)
    assert days_given(folder, (TODAY,)) == (repr((TODAY,)).encode(), True)


def test_workers_read_what_was_given_in_this_command_only(folder: Path):
    for days in ((TODAY,), (TODAY, TODAY)):
        with Engine.opened(folder, TODAY, pytest.fail) as engine, LocalWorkers(1) as workers:
            engine.give(days_known, "a", days)
            map_task(engine, days_page, ["a"], Executors(near=workers, worth_workers=0.0))
            results = Results(engine, days_page, ["a"])
            assert dict(results) == {"a": repr(days).encode()}
            assert "b" not in results
            assert not results.without({"a"})
    with pytest.raises(LookupError):
        days_given(folder, None)


def test_one_key_that_fails_leaves_the_others(folder: Path):
    failed: dict[str, Exception] = {}
    with Engine.opened(folder, TODAY, pytest.fail) as engine:
        assert map_task(engine, faulty, ["a", "b", "c"], fail=failed.__setitem__) == ["a", "c"]
        assert list(failed) == ["b"]
        with pytest.raises(ValueError, match="b is wrong"):
            map_task(engine, faulty, ["b"])


def test_a_result_that_is_not_asked_for_in_30_days_is_deleted_with_its_files(folder: Path):
    computed(folder, picture)
    assert len(list((folder / ".cache/files").iterdir())) == 1
    computed(folder, length, today=date(2026, 3, 30))
    assert len(list((folder / ".cache/files").iterdir())) == 1
    computed(folder, length, today=date(2026, 4, 2))
    assert list((folder / ".cache/files").iterdir()) == []


class CountingTable:
    """Stores digests, and counts what is stored."""

    def __init__(self) -> None:
        self.stored: dict[tuple[str, str], str] = {}

    def digest_of_file(self, path: str, status: str) -> str | None:
        return self.stored.get((path, status))

    def store_digest_of_file(self, path: str, status: str, digest: str) -> None:
        self.stored[path, status] = digest


def test_a_file_written_just_now_is_known_by_its_bytes_and_an_older_one_by_its_status(folder: Path):
    table, now = CountingTable(), clock_of_disk(folder)
    assert FileStates(folder, table, now).digest("files/a") == digest_of(folder / "files/a")
    assert not table.stored
    later = FileStates(folder, table, now + 60_000_000_000)
    assert later.digest("files/a") == digest_of(folder / "files/a")
    assert len(table.stored) == 1
    table.stored = dict.fromkeys(table.stored, "stored")
    assert later.digest("files/a") == "stored"
    replace_with_same_size_and_time(folder / "files/a")
    assert later.digest("files/a") == digest_of(folder / "files/a")
