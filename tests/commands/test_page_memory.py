"""Cached pages change only the time: after any edit the bytes are those of a cold build."""

from __future__ import annotations

import io
import os
import random
import re
import shutil
from collections.abc import Iterable
from pathlib import Path

import pytest

from sitegen.commands import main
from sitegen.commands.shared.composition import Wish, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.site import Site
from sitegen.shared_data import themes_folder
from tests.builders import write_photo
from tests.random_edits import edit_at_random

EDITS, SEED = 10, 5
NOTHING_NEW = "files: 0 new or changed, "


def composed(store: Path) -> Site:
    done = compose(Wish(store), Terminal(io.StringIO(), io.StringIO()))
    assert done.site is not None, done.problems
    return done.site


OF_VEHICLES = (".cache/pages/en", ".cache/records")
FOLDERS = (*OF_VEHICLES, ".cache/templates")


def remembered(store: Path, folders: Iterable[str] = FOLDERS) -> list[Path]:
    return [file for folder in folders for file in sorted((store / folder).iterdir())]


def kept(store: Path) -> dict[str, int]:
    """Return when what is remembered of each vehicle was last written."""
    times: dict[str, int] = {}
    for file in remembered(store, OF_VEHICLES):
        times[file.stem] = max(times.get(file.stem, 0), file.stat().st_mtime_ns)
    return times


def assert_same(site: Site, other: Site) -> None:
    assert site.pages == other.pages
    assert site.files.keys() == other.files.keys()
    assert site.made_from == other.made_from


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
        for cached in ("pages", "records", "templates", "as_before"):
            shutil.rmtree(store / ".cache" / cached)
        (store / ".cache/results.sqlite").unlink()
        assert main(["build", str(store)]) == 0
        assert NOTHING_NEW in capsys.readouterr().out
    assert EDITS // 4 < changes < EDITS, "the edits show nowhere, or all of them do"


def test_only_a_changed_vehicle_is_rendered_again(store: Path):
    composed(store)
    before = kept(store)
    composed(store)
    assert kept(store) == before
    record = store / "vehicles/K901/inspection.yaml"
    record.write_text(record.read_text("utf-8").replace("6 cm", "7 cm"), "utf-8")
    composed(store)
    write_photo(store / "vehicles/K900/photos/front.jpg", (656, 480))
    after_the_record = kept(store)
    assert {stock for stock in before if after_the_record[stock] != before[stock]} == {"K901"}
    composed(store)
    after_the_photo = kept(store)
    assert {stock for stock in before if after_the_photo[stock] != after_the_record[stock]} == {"K900"}


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
    shutil.rmtree(store / ".cache/pages")
    assert_same(after, composed(store))


@pytest.mark.parametrize("harm", ["empty", "half", "zeros", "another's", "folder", "file"])
def test_a_damaged_cache_changes_no_output(store: Path, harm: str):
    cold = composed(store)
    for file in remembered(store):
        written = file.read_bytes()
        match harm:
            case "empty":
                file.write_bytes(b"")
            case "half":
                file.write_bytes(written[: len(written) // 2])
            case "zeros":
                file.write_bytes(written[:64] + bytes(len(written) - 64))
            case "another's":
                file.write_bytes(min(file.parent.iterdir()).read_bytes())
            case "folder":
                file.unlink()
                file.mkdir()
    if harm == "file":
        for folder in FOLDERS:
            shutil.rmtree(store / folder)
            (store / folder).write_bytes(b"")
    assert_same(composed(store), cold)


def test_cached_pages_of_removed_vehicles_are_deleted(store: Path):
    composed(store)
    shutil.rmtree(store / "vehicles/K901")
    composed(store)
    assert set(kept(store)) == {"K900"}
