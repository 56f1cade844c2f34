"""Cached pages change only the time: after any edit the bytes are those of a cold build."""

from __future__ import annotations

import io
import os
import random
import re
import shutil
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

from sitegen.commands import main
from sitegen.commands.shared.composition import BuildRequest, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.commands.tasks.pages import vehicle_pages
from sitegen.engine.result_store import ResultStore
from sitegen.pages.site import Site
from sitegen.shared_data import themes_folder
from tests.builders import write_photo
from tests.random_edits import edit_at_random

EDITS, SEED = 10, 5
NOTHING_NEW = "files: 0 new or changed, "


def composed(store: Path) -> Site:
    done = compose(BuildRequest(store), Terminal(io.StringIO(), io.StringIO()))
    assert done.site is not None, done.problems
    return done.site


def assert_same(site: Site, other: Site) -> None:
    assert site.pages == other.pages
    assert site.files.keys() == other.files.keys()
    assert site.drawings == other.drawings


def forget(store: Path) -> None:
    """Delete every stored result but pictures."""
    shutil.rmtree(store / ".cache/previous", ignore_errors=True)
    (store / ".cache/results.sqlite").unlink()


def run_of(store: Path) -> tuple[Site, set[str]]:
    """Compose, and return the site with the vehicles whose pages were made."""
    keys: set[str] = set()

    def put(self: ResultStore, task: str, key: str, *result: Any) -> None:
        if task == vehicle_pages.name:
            keys.add(key)
        stored(self, task, key, *result)

    stored = ResultStore.put
    with patch.object(ResultStore, "put", put):
        return composed(store), keys


def test_after_random_edits_a_cached_build_equals_a_cold_build(store: Path, capsys):
    dice = random.Random(SEED)
    changes = 0
    for _ in range(EDITS):
        edit_at_random(store, dice)
        if main(["build", str(store)]):  # what was disclosed has gone without a word: begin a new ledger
            (store / "ledger.jsonl").unlink()
            shutil.rmtree(store / "revisions")
            assert main(["build", str(store)]) == 0
        changes += NOTHING_NEW not in capsys.readouterr().out
        forget(store)
        assert main(["build", str(store)]) == 0
        assert NOTHING_NEW in capsys.readouterr().out
    assert EDITS // 4 < changes < EDITS, "the edits show nowhere, or all of them do"


def test_only_a_changed_vehicle_is_rendered_again(store: Path):
    composed(store)
    assert run_of(store)[1] == set()
    record = store / "vehicles/K901/inspection.yaml"
    record.write_text(record.read_text("utf-8").replace("6 cm", "7 cm"), "utf-8")
    assert run_of(store)[1] == {"K901"}
    write_photo(store / "vehicles/K900/photos/front.jpg", (656, 480))
    assert run_of(store)[1] == {"K900"}
    shutil.rmtree(store / "vehicles/K901")
    assert run_of(store)[1] == set()


def test_an_edit_that_changes_no_value_makes_no_page_again(store: Path):
    composed(store)
    record = store / "vehicles/K901/inspection.yaml"
    record.write_text("# A note for the shop.\n" + record.read_text("utf-8"), "utf-8")
    (store / "theme").mkdir()
    (store / "theme/README.md").write_text("Ours.\n", "utf-8")
    assert run_of(store)[1] == set()


@pytest.mark.parametrize(
    ("file", "pattern", "text"),
    [
        ("services.yaml", "engine_oil: .*", "engine_oil: 71-97"),
        ("site.yaml", "(?m)^name: .*", "name: Ferrow Lane"),
        ("pages/about.md", "# About us", "# Who we are"),
    ],
)
def test_an_input_that_all_vehicles_share_makes_each_again(store: Path, file: str, pattern: str, text: str):
    composed(store)
    edited, count = re.subn(pattern, text, (store / file).read_text("utf-8"))
    assert count
    (store / file).write_text(edited, "utf-8")
    site, made = run_of(store)
    assert made == {"K900", "K901"}
    forget(store)
    assert_same(site, composed(store))


def test_a_sold_vehicle_follows_what_it_links_to_and_nothing_else_of_others(store: Path):
    record, other = (store / f"vehicles/{stock}/inspection.yaml" for stock in ("K900", "K901"))
    sold = re.sub("status: .*", "status: sold\nsold_on: 2026-10-20", record.read_text("utf-8"))
    record.write_text(sold, "utf-8")
    composed(store)
    other.write_text(re.sub("price: [0-9]+", "price: 13455", other.read_text("utf-8")), "utf-8")
    site, made = run_of(store)
    assert made == {"K900", "K901"}
    assert b"13,455" in site.pages["vehicles/K900/index.html"]


def test_the_next_build_restores_altered_published_pages(store: Path, capsys):
    """One page is harmed, its size and time put back; then another vehicle changes twice."""
    assert main(["build", str(store)]) == 0
    page, record = store / "published/vehicles/K901/index.html", store / "vehicles/K900/inspection.yaml"
    whole, times = page.read_bytes(), page.stat()
    page.write_bytes(whole[:-1] + b" ")
    os.utime(page, ns=(times.st_atime_ns, times.st_mtime_ns))
    for price in ("13450", "13455"):
        record.write_text(re.sub("price: [0-9]+", f"price: {price}", record.read_text("utf-8")), "utf-8")
        assert main(["build", str(store)]) == 0
        assert page.read_bytes() == whole
        assert f"{int(price):,}" in (store / "published/vehicles/K900/index.html").read_text("utf-8")
    capsys.readouterr()


def test_a_changed_template_renders_every_page_again(store: Path):
    composed(store)
    template = "pages/window-sheet.html"
    own = store / "theme" / template
    own.parent.mkdir(parents=True)
    text = (themes_folder() / "daylight" / template).read_text("utf-8")
    own.write_text(text.replace("</", "<!-- ours --></", 1), "utf-8")
    after = composed(store)
    assert b"<!-- ours -->" in after.pages["vehicles/K900/window-sheet.html"]
    forget(store)
    assert_same(after, composed(store))


@pytest.mark.parametrize("harm", ["empty", "half", "zeros", "another's", "folder", "gone"])
def test_a_damaged_cache_changes_no_output(store: Path, harm: str):
    cold = composed(store)
    files = sorted((store / ".cache/files").iterdir())
    contents = [file.read_bytes() for file in files]
    for file, written in zip(files, contents, strict=True):
        file.unlink()
        match harm:
            case "empty":
                file.write_bytes(b"")
            case "half":
                file.write_bytes(written[: len(written) // 2])
            case "zeros":
                file.write_bytes(bytes(len(written)))
            case "another's":
                file.write_bytes(next(other for other in contents if other != written))
            case "folder":
                file.mkdir()
    assert_same(composed(store), cold)


def test_pages_damaged_between_composing_and_publishing_are_made_again(store: Path):
    site, cold = composed(store), dict(composed(store).pages)
    for file in (store / ".cache/files").iterdir():
        file.write_bytes(b"")
    assert dict(site.pages) == cold
