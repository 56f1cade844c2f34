"""The order of system calls by which a staged site replaces the published one, observed through audit events."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from sitegen.pages.site import Site
from sitegen.publishing.marker import digest_of, marker_text, read_marker
from sitegen.publishing.staging import stage
from sitegen.publishing.swapping import exchange, replace_in_order

Asked = list[tuple[str, Path, set[str] | None]]
_listening: list[tuple[Path, Asked]] = []


@contextmanager
def asked_of_the_system(published: Path) -> Iterator[Asked]:
    """Record each move, deletion and flush in a folder, and the paths in its marker just before."""
    asked: Asked = []
    _listening.append((published, asked))
    try:
        yield asked
    finally:
        _listening.pop()


def _listen(event: str, arguments: tuple[Any, ...]) -> None:
    if not _listening or event not in ("os.rename", "os.remove", "os.rmdir", "open"):
        return
    if event == "open" and (arguments[1] is not None or arguments[2] != os.O_RDONLY | os.O_CLOEXEC):
        return  # opened to be read or written; a flush opens without a mode
    (published, asked), place = _listening[-1], Path(arguments[1 if event == "os.rename" else 0])
    if place.is_relative_to(published):
        here = place.relative_to(published)
        asked.append((event, here, None if event == "open" else listed(published)))


sys.addaudithook(_listen)

OLD = {"index.html": b"1", "a/kept.html": b"1", "a/gone.html": b"1", "a/b/gone.css": b"1", "same.html": b"1"}
NEW = {"index.html": b"2", "a/kept.html": b"2", "new.html": b"2", "c/d/new.css": b"2", "same.html": b"1"}

GONE = OLD.keys() - NEW.keys()


def digests(paths: Iterable[str]) -> set[str]:
    return {digest_of(path) for path in paths}


def listed(published: Path) -> set[str]:
    marker = read_marker(published)
    assert marker is not None
    return set(marker.ours)


@pytest.fixture
def staged(tmp_path: Path) -> tuple[Path, Path, set[str]]:
    """A published site, a second one staged beside it, and the paths that differ."""
    published, staging = tmp_path / "published", tmp_path / "staging"
    for path, content in OLD.items():
        (published / path).parent.mkdir(parents=True, exist_ok=True)
        (published / path).write_bytes(content)
    (published / ".sitegen").write_bytes(marker_text(OLD))
    staging.mkdir()
    return published, staging, stage(Site(NEW), published, staging)


def test_needed_files_come_first_and_deletions_last(staged):
    """Files before pages, new pages before existing ones, deeper before the index; pages are deleted first."""
    published, staging, changed = staged
    with asked_of_the_system(published) as asked:
        replace_in_order(staging, published, changed, GONE)
    done = [(event, str(path)) for event, path, _ in asked if event != "open"]
    assert done == [
        ("os.rename", ".sitegen"),
        ("os.rename", "c/d/new.css"),
        ("os.rename", "new.html"),
        ("os.rename", "a/kept.html"),
        ("os.rename", "index.html"),
        ("os.remove", "a/gone.html"),
        ("os.remove", "a/b/gone.css"),
        ("os.rmdir", "a/b"),
        ("os.rename", ".sitegen"),
    ]
    assert {path: (published / path).read_bytes() for path in NEW} == NEW


def test_after_an_interruption_the_marker_lists_old_and_new(staged):
    published, staging, changed = staged
    with asked_of_the_system(published) as asked:
        replace_in_order(staging, published, changed, GONE)
    first, *midway = [ours for event, _, ours in asked if event != "open"]
    assert first == digests(OLD)
    assert all(ours == digests({*OLD, *NEW}) for ours in midway)
    assert listed(published) == digests(NEW)


def test_the_folders_and_both_markers_are_flushed(staged):
    published, staging, changed = staged
    with asked_of_the_system(published) as asked:
        replace_in_order(staging, published, changed, GONE)
    flushed = [str(path) for event, path, _ in asked if event == "open"]
    first, *folders, last = flushed
    assert first == last == ".sitegen-list"
    assert sorted(folders) == [".", "a", "c", "c/d"]
    assert folders.index("c/d") < folders.index("c") < folders.index(".") == 3


def test_all_staged_files_are_flushed(tmp_path):
    (tmp_path / "staging").mkdir()
    with asked_of_the_system(tmp_path / "staging") as asked:
        changed = stage(Site({"index.html": b"", "a/b.html": b""}), tmp_path / "published", tmp_path / "staging")
    assert changed == {"index.html", "a/b.html"}
    flushed = [str(path) for event, path, _ in asked if event == "open"]
    assert flushed == ["a/b.html", "index.html", ".sitegen", "a", "."]


def test_a_missing_published_page_is_no_error(staged):
    published, staging, changed = staged
    (published / "a/gone.html").unlink()
    replace_in_order(staging, published, changed, GONE)
    assert listed(published) == digests(NEW)


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[Path]:
    """A folder on another file system than `tmp_path`."""
    memory = Path("/dev/shm")
    if not memory.is_dir() or memory.stat().st_dev == tmp_path.stat().st_dev:
        pytest.skip("there is one file system only")
    with TemporaryDirectory(dir=memory) as folder:
        yield Path(folder)


def test_without_hard_links_a_copy_keeps_its_time(tmp_path, elsewhere):
    (elsewhere / "index.html").write_bytes(b"same")
    os.utime(elsewhere / "index.html", (1_700_000_000, 1_700_000_000))
    with asked_of_the_system(tmp_path) as asked:
        assert stage(Site({"index.html": b"same"}), elsewhere, tmp_path) == set()
    staged = tmp_path / "index.html"
    assert (staged.read_bytes(), staged.stat().st_mtime) == (b"same", 1_700_000_000)
    assert [str(path) for event, path, _ in asked if event == "open"] == ["index.html", ".sitegen", "."]


def test_exchange_fails_on_a_system_without_the_call(tmp_path, monkeypatch):
    """The call of macOS does not exist on this system."""
    for name in ("one", "other"):
        (tmp_path / name / name).mkdir(parents=True)
    monkeypatch.setattr(sys, "platform", "darwin")
    assert exchange(tmp_path / "one", tmp_path / "other") is False
    assert (tmp_path / "one" / "one").is_dir()


@pytest.mark.parametrize("relative", [False, True])
def test_two_folders_are_exchanged_or_left_alone(tmp_path, monkeypatch, relative):
    monkeypatch.chdir(tmp_path)
    one, other = (Path(name) if relative else tmp_path / name for name in ("one", "other"))
    for folder in (one, other):
        folder.mkdir()
        (folder / folder.name).touch()
    assert exchange(one, other) is True
    assert [[file.name for file in folder.iterdir()] for folder in (one, other)] == [["other"], ["one"]]
    assert exchange(one, one.with_name("none")) is False
    assert [file.name for file in one.iterdir()] == ["other"]
