"""Folders to which a site may be published: never the store's own folders, and never folders with foreign files."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from sitegen.publishing.publication import publish
from sitegen.publishing.target import refusal_reason
from sitegen.records.problems import Problem
from tests.publishing.sites import TODAY, a_site

HOLDS = "a folder that holds the store itself"
INSIDE = "a place inside the store"
OTHERS = "a folder with files in it that sitegen did not publish"


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store in a folder that also holds unrelated files."""
    store = tmp_path / "lot" / "store"
    (store / "vehicles").mkdir(parents=True)
    (tmp_path / "mine").mkdir()
    for letter in ("letter.txt", "mine/letter.txt"):
        (tmp_path / letter).write_text("dear")
    (tmp_path / "link").symlink_to("mine")
    return store


@pytest.mark.parametrize(
    ("place", "found"),
    [
        ("/", "the top of the disk"),
        ("lot/store", HOLDS),
        ("lot", HOLDS),
        (".", HOLDS),
        ("lot/store/vehicles", INSIDE),
        ("lot/store/vehicles/K1/new", INSIDE),
        ("lot/store/published/in", INSIDE),
        ("lot/store/vehicles/../published/../new", INSIDE),
        ("mine", OTHERS),
        ("link", OTHERS),
        ("letter.txt", "a file where the site's folder should be"),
        ("letter.txt/site", None),  # told when it is made, by what the system says
        ("lot/store/published", None),
        ("new", None),
        ("lot/new", None),
        ("zoo", None),
    ],
)
def test_allowed_and_refused_folders(store, tmp_path, place, found):
    own = store / "published"
    told = refusal_reason(tmp_path / place, store, own)
    assert (told.found if told else None) == found
    if told:
        assert told.file == str((tmp_path / place).resolve())
        assert told.mend.endswith(("with --to", "outside the store with it", "in this one was touched", "with --to"))


def test_published_and_empty_folders_are_accepted(store, tmp_path):
    publish(a_site("1", range(3)), tmp_path / "site", TODAY)
    (tmp_path / "site" / "letter.txt").write_text("dear")
    (tmp_path / "empty" / "within").mkdir(parents=True)
    for place in ("site", "empty"):
        assert refusal_reason(tmp_path / place, store, store / "published") is None


def test_a_lost_marker_is_reported_with_two_remedies_that_work(store, tmp_path):
    own, site = store / "published", a_site("1", range(3))
    site = replace(site, pages={**site.pages, "inventory.json": b"[]"})
    publish(site, own, TODAY)
    (own / ".sitegen").rename(tmp_path / "kept")
    told = refusal_reason(own, store, own)
    assert told is not None
    assert told.found.startswith("a site without the file .sitegen, which says what of it sitegen published")
    assert told.mend.startswith("put .sitegen back, as a backup or the host has it; or rename this folder and build")
    assert publish(site, own, TODAY) == told
    shutil.copy(tmp_path / "kept", own / ".sitegen")
    assert refusal_reason(own, store, own) is None
    (own / ".sitegen").unlink()
    own.rename(tmp_path / "old")
    assert refusal_reason(own, store, own) is None
    assert not isinstance(publish(site, own, TODAY), Problem)


def test_a_system_error_is_reported(store, tmp_path):
    """A name longer than the file system allows (POSIX, NAME_MAX)."""
    told = refusal_reason(tmp_path / ("n" * 300), store, store / "published")
    assert told is not None
    assert told.found == f"File name too long ({tmp_path / ('n' * 300)})"
