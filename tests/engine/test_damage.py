"""Whatever is wrong with the cache: it is set aside with one line of output, and everything is computed again."""

from __future__ import annotations

import os
import shutil
import sqlite3
from hashlib import sha256
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from sitegen.engine import file_states
from sitegen.engine.engine import Engine
from tests.engine.damage import DAMAGED, REPLACED, Harm, a_file, a_link_to_nothing, a_pipe, a_socket, empty
from tests.engine.graph import length, picture, shared_page
from tests.engine.test_engine import TODAY, computed
from tests.engine.test_engine import folder as folder  # a fixture

DATABASE = Path(".cache/results.sqlite")


@pytest.mark.parametrize("harm", [*DAMAGED, *REPLACED])
def test_a_damaged_database_is_set_aside_with_one_line_and_built_cold(folder: Path, harm: Harm):
    before, _ = computed(folder)
    harm(folder / DATABASE)
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert engine.result(length, "a") == 3
    assert len(lines) == (harm is not empty), lines
    assert computed(folder) == (before, ["page"])


@pytest.mark.parametrize("harm", REPLACED)
@pytest.mark.parametrize("ending", ["-wal", "-shm", "-journal"])
def test_what_stands_in_the_place_of_a_file_beside_the_database_is_set_aside(folder: Path, ending: str, harm: Harm):
    computed(folder, length)
    harm(folder / f"{DATABASE}{ending}")
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert engine.result(length, "a") == 3
    assert len(lines) == 1, lines


def test_a_database_of_another_version_is_set_aside(folder: Path):
    computed(folder, length)
    with sqlite3.connect(folder / DATABASE) as database:
        database.execute("pragma user_version = 999")
    database.close()
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert engine.result(length, "a") == 3
    assert [line.partition(": ")[0] for line in lines] == [
        f"{folder / DATABASE} is damaged or of another version (version 999)"
    ]


@pytest.mark.parametrize("place", [".cache", ".cache/files"])
@pytest.mark.parametrize("harm", [a_file, a_pipe, a_socket, a_link_to_nothing])
def test_what_stands_in_the_place_of_a_folder_is_set_aside(folder: Path, place: str, harm: Harm):
    whole, _ = computed(folder, shared_page)
    harm(folder / place)
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert engine.result(shared_page, "a") == whole
    assert len(lines) == 1, lines
    assert computed(folder, shared_page) == (whole, [])


def test_a_link_to_a_folder_may_stand_in_the_place_of_the_cache(folder: Path, tmp_path: Path):
    """Whoever has little room may keep the cache on another disk."""
    (tmp_path / "elsewhere").mkdir()
    (folder / ".cache").symlink_to(tmp_path / "elsewhere")
    whole, _ = computed(folder, shared_page)
    assert computed(folder, shared_page) == (whole, [])


@pytest.mark.parametrize("harm", [*DAMAGED, *REPLACED])
def test_a_damaged_kept_file_is_made_again(folder: Path, harm: Harm):
    """With size and time as they were."""
    whole, _ = computed(folder, shared_page)
    file = next((folder / ".cache/files").iterdir())
    times = file.stat()
    harm(file)
    if file.is_file():
        os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert engine.result(shared_page, "a") == whole
        assert ("tests.engine.graph:picture", "a") in engine.ran
    assert computed(folder, shared_page) == (whole, [])


edits = st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.binary(min_size=1, max_size=64)), max_size=6)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example([], 0.0)
@example([(0.0, b"\0" * 64)], 1.0)
@given(edits=edits, end=st.one_of(st.just(1.0), st.floats(0, 1)))
def test_bytes_changed_anywhere_in_the_database_never_change_a_result(
    folder: Path, edits: list[tuple[float, bytes]], end: float
):
    """Changed bytes anywhere, and perhaps a lost end: at most one line, the same results, and no exception."""
    whole = folder.with_name("whole")
    if not whole.exists():
        computed(folder)
        computed(folder, shared_page)
        shutil.copytree(folder, whole)
    expected = [computed(whole, task)[0] for task in (length, picture, shared_page)]
    shutil.rmtree(folder)
    shutil.copytree(whole, folder)
    content = bytearray((folder / DATABASE).read_bytes())
    for place, changed in edits:
        start = int(place * len(content))
        content[start : start + len(changed)] = changed
    (folder / DATABASE).write_bytes(content[: int(end * len(content))])
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert [engine.result(task, "a") for task in (length, picture, shared_page)] == expected
    assert len(lines) <= 1, lines
    assert [computed(folder, task)[0] for task in (length, picture, shared_page)] == expected


COLUMNS = [
    *(
        ("result", name)
        for name in ("code", "trace", "digest", "files", "seal", "used", "session", "intact", "content")
    ),
    *(("file", name) for name in ("path", "status", "digest")),
]
values = st.one_of(st.none(), st.integers(-9, 9), st.binary(max_size=80), st.text('[]{}",0f\0', max_size=70))


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    place=st.sampled_from(COLUMNS),
    row=st.integers(0, 5),
    letter=st.one_of(st.none(), st.integers(0, 70)),
    value=values,
)
def test_a_value_changed_in_a_row_never_changes_a_result(folder: Path, place, row, letter, value):
    """Another value of any type, or one other letter: what damage within one cell of the file leaves behind."""
    whole = folder.with_name("whole.sqlite")
    tasks = (length, picture, shared_page)
    if not whole.exists():
        with patch.object(file_states, "YOUNG_NS", -(10**12)):  # as if later, so that the digests of files are stored
            computed(folder)
            computed(folder, shared_page)
        shutil.copy(folder / DATABASE, whole)
    shutil.copy(whole, folder / DATABASE)
    expected = [3, picture_digest(folder), b"abcabcabcFerrow"]
    table, column = place
    with sqlite3.connect(folder / DATABASE) as database:
        keys = "task, key" if table == "result" else "path, status"
        rows = database.execute(f"select {keys}, {column} from {table} order by {keys}").fetchall()
        first, second, before = rows[row % len(rows)]
        if letter is not None and isinstance(before, str) and before:
            at = letter % len(before)
            value = before[:at] + ("0" if before[at] != "0" else "1") + before[at + 1 :]
        where = " and ".join(f"{name} = ?" for name in keys.split(", "))
        database.execute(f"update or ignore {table} set {column} = ? where {where}", (value, first, second))
    database.close()
    lines: list[str] = []
    with Engine.opened(folder, TODAY, lines.append) as engine:
        assert [engine.result(task, "a") for task in tasks] == expected
    assert len(lines) <= 1, lines
    assert [computed(folder, task)[0] for task in tasks] == expected


def picture_digest(folder: Path) -> bytes:
    return sha256((folder / "files/a").read_bytes() * 2).hexdigest().encode()
