"""The previous result of a command is returned only if nothing has changed. One test for each kind of change."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from sitegen.commands import main
from sitegen.commands.previous import up_to_date
from sitegen.commands.previous.store_status import StoreStatus, walk
from sitegen.commands.previous.up_to_date import Outcome, PreviousResult
from sitegen.commands.shared.clock import beginning_of
from sitegen.commands.shared.composition import BuildRequest, BuildResult, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.records.problems import Problem, Severity
from tests.conftest import REPOSITORY

NOW = datetime(2026, 11, 21, 12, tzinfo=UTC)
WARNED = Problem("site.yaml", 1, 2, "name", "a", "b", "c", Severity.WARNING)
OUTCOME = Outcome((WARNED,), 2, 77)
DIGESTS = {"index.html": "1f2e"}
RECORD, PHOTO = "vehicles/K900/inspection.yaml", "vehicles/K900/photos/front.jpg"


def asked(store: Path, moment: datetime = NOW, to: str = "published") -> PreviousResult:
    return PreviousResult(store, "build", moment, pytest.fail, (store / "ledger.jsonl", store / to))


@pytest.fixture
def noted(store: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store that was built, and the note of that; with a program of one file."""
    for made in ("published/index.html", "ledger.jsonl", "program/code.py"):
        (store / made).parent.mkdir(exist_ok=True)
        (store / made).write_text("as it was", "utf-8")
    monkeypatch.setattr(up_to_date, "PROGRAM", (store / "program").rename(store.parent / "program"))
    before = asked(store)
    before.keep(replace(OUTCOME, digests=DIGESTS), NOW + timedelta(days=3))
    assert asked(store).recall() == OUTCOME
    return store


def rewrite(file: Path) -> None:
    """Write as many bytes as before, and put the time of change back."""
    times, content = file.stat(), file.read_bytes()
    file.write_bytes(content[:-1] + bytes([content[-1] ^ 1]))
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))


def replace_by_a_copy(file: Path) -> None:
    other = file.with_name("other")
    other.write_bytes(file.read_bytes()[::-1])
    shutil.copystat(file, other)
    other.replace(file)


def put_a_link(file: Path, away: Path) -> None:
    file.rename(away)
    file.symlink_to(away)


def note_of(store: Path) -> Path:
    return store / ".cache/previous/build.json"


CHANGES: dict[str, Callable[[Path], object]] = {
    "a record rewritten": lambda store: rewrite(store / RECORD),
    "a record touched": lambda store: os.utime(store / RECORD),
    "a photo replaced by a copy with its time": lambda store: replace_by_a_copy(store / PHOTO),
    "a photo renamed": lambda store: (store / PHOTO).rename((store / PHOTO).with_name("other.jpg")),
    "a photo gone": lambda store: (store / PHOTO).unlink(),
    "a photo more": lambda store: shutil.copy(store / PHOTO, (store / PHOTO).with_name("other.jpg")),
    "a link in the place of a photo": lambda store: put_a_link(store / PHOTO, store.parent / "away.jpg"),
    "an empty folder more": lambda store: (store / "vehicles/K902").mkdir(),
    "settings": lambda store: rewrite(store / "site.yaml"),
    "prices": lambda store: rewrite(store / "services.yaml"),
    "a page of its own": lambda store: (store / "pages/terms.md").write_text("# Terms\n", "utf-8"),
    "a theme of its own": lambda store: (store / "theme").mkdir(),
    "the program": lambda store: rewrite(store.parent / "program/code.py"),
    "a published page": lambda store: rewrite(store / "published/index.html"),
    "a published page gone": lambda store: (store / "published/index.html").unlink(),
    "the ledger": lambda store: rewrite(store / "ledger.jsonl"),
    "the note empty": lambda store: note_of(store).write_bytes(b""),
    "half the note": lambda store: note_of(store).write_bytes(note_of(store).read_bytes()[:99]),
    "another note": lambda store: rewrite(note_of(store)),
    "no note": lambda store: note_of(store).unlink(),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_after_any_change_no_previous_result_is_returned(noted: Path, change):
    change(noted)
    assert asked(noted).recall() is None


OF_THE_PUBLISHED = {name: change for name, change in CHANGES.items() if re.search("published|ledger|note", name)}


def test_page_digests_are_returned_although_the_store_has_changed(noted: Path):
    rewrite(noted / RECORD)
    assert asked(noted).recall() is None
    assert asked(noted).untouched() == DIGESTS
    assert asked(noted, to="other").untouched() == {}


@pytest.mark.parametrize("change", OF_THE_PUBLISHED.values(), ids=OF_THE_PUBLISHED)
def test_after_a_change_of_any_output_file_no_page_digest_is_returned(noted: Path, change):
    change(noted)
    assert asked(noted).untouched() == {}


@pytest.mark.parametrize("harm", [rewrite, Path.unlink, lambda file: file.write_bytes(b"")])
def test_altered_page_digests_are_ignored(noted: Path, harm):
    harm(note_of(noted).with_suffix(".digests"))
    assert asked(noted).untouched() == {}


def test_another_folder_an_earlier_moment_or_an_expired_result_needs_a_new_build(noted: Path):
    assert asked(noted, to="other").recall() is None
    assert asked(noted, NOW - timedelta(seconds=1)).recall() is None
    assert asked(noted, NOW + timedelta(days=3) - timedelta(seconds=1)).recall() == OUTCOME
    assert asked(noted, NOW + timedelta(days=3)).recall() is None


def test_a_file_changed_twice_within_a_clock_tick_is_compared_by_content(tmp_path: Path):
    """No program can set the time of status, so here the later walk is told to have found the same as the first."""
    file = tmp_path / "record.yaml"
    file.write_text("price: 1", "utf-8")
    first = walk([tmp_path], file.stat().st_ctime_ns)
    assert first.still_holds(StoreStatus(first.status, {}))
    file.write_text("price: 2", "utf-8")
    assert not first.still_holds(StoreStatus(first.status, {}))


def test_an_immediate_edit_of_equal_length_is_always_noticed(noted: Path):
    """Over and over, for a kernel stamps files by a clock of a few milliseconds: most edits are in one tick."""
    for number in range(60):
        file = noted / (RECORD if number % 2 else "published/index.html")
        file.write_bytes(b"1" + file.read_bytes()[1:])
        asked(noted).keep(OUTCOME, NOW + timedelta(days=3))
        file.write_bytes(b"2" + file.read_bytes()[1:])
        assert asked(noted).recall() is None, number


def test_a_cyclic_link_does_not_loop(tmp_path: Path):
    (tmp_path / "round").symlink_to(tmp_path)
    assert walk([tmp_path]).status == walk([tmp_path]).status


def test_a_previous_result_repeats_warnings_and_counts_with_an_empty_report(store: Path, capsys, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1804204800")  # 2027-03-05: the inspections are old
    assert main(["build", str(store)]) == 0
    first = capsys.readouterr()
    (store / ".cache/results.sqlite").unlink()
    assert main(["build", str(store), "--report", str(store / "report.json")]) == 0
    again = capsys.readouterr()
    assert not (store / ".cache/results.sqlite").exists(), "pages were made again"
    assert "stale_after_days" in first.err
    assert again.err == first.err
    told, files = (
        first.out.splitlines()[0],
        len([path for path in (store / "published").rglob("*") if path.is_file()]),
    )
    assert (
        again.out.splitlines()[0]
        == f"{told.split(';')[0]}; files: 0 new or changed, {files - 1} as before, 0 removed"
    )
    report = json.loads((store / "report.json").read_text("utf-8"))
    assert report == {"folder": str(store / "published"), "changed": [], "removed": [], "left_out": []}


@pytest.mark.parametrize("command", [["build"], ["check"]])
def test_a_previous_result_is_returned_without_importing_records_or_themes(store: Path, command):
    """To load them takes longer than to find that nothing has changed."""
    assert main([*command, str(store)]) == 0
    script = (
        "import sys; from sitegen.commands import main; main(sys.argv[1:]); sys.stderr.write(' '.join(sys.modules))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *command, store], cwd=REPOSITORY, capture_output=True, text=True, check=True
    )
    assert not {"pydantic", "PIL", "jinja2", "babel", "yaml", "asyncio"} & set(ran.stderr.split())


def test_check_repeats_its_result_as_text_and_as_json(store: Path, capsys):
    assert main(["check", str(store)]) == 0
    first = capsys.readouterr()
    (store / ".cache/results.sqlite").unlink()
    assert main(["check", str(store)]) == 0
    assert capsys.readouterr() == first
    assert main(["check", str(store), "--format", "json"]) == 0
    assert len(json.loads(capsys.readouterr().out)) == first.err.count(": warning: ")
    assert not (store / ".cache/results.sqlite").exists(), "pages were made again"


@pytest.mark.parametrize("sold", [False, True], ids=["on offer", "sold"])
def test_a_previous_result_is_returned_until_it_expires(store: Path, edit, sold):
    if sold:
        for stock in ("K900", "K901"):
            edit(f"vehicles/{stock}/inspection.yaml", "status: for sale", "status: sold\nsold_on: 2026-10-20")

    edit("site.yaml", "demo: true", "demo: true\nstale_after_days: 60\nsold_noindex_after_days: 45")

    def came_to(moment: datetime) -> BuildResult:
        return compose(BuildRequest(store, moment=moment), Terminal(sys.stdout, sys.stderr))

    assert main(["build", str(store)]) == 0  # until it is published a page tells the day on which it is about to be
    now = came_to(NOW)
    turn = beginning_of(now.until, ZoneInfo("America/Chicago"))
    assert turn > NOW
    before, after = came_to(turn - timedelta(seconds=1)), came_to(turn)
    assert (before.site.pages, before.problems) == (now.site.pages, now.problems)
    assert (after.site.pages, after.problems) != (now.site.pages, now.problems)


def test_a_day_begins_in_the_time_zone_of_the_store(store: Path, edit):
    """Three in the morning of New Year's Day in Greenwich is nine in the evening of the old year in Chicago."""
    moment = datetime(2027, 1, 1, 3, tzinfo=UTC)
    composed = compose(BuildRequest(store, moment=moment), Terminal(sys.stdout, sys.stderr))
    assert composed.store.settings.time_zone == "America/Chicago"
    days = (date(2027, 1, 1) - min(one.record.inspection.done_on for one in composed.store.vehicles)).days
    edit("site.yaml", "demo: true", f"demo: true\nstale_after_days: {days - 1}")
    composed = compose(BuildRequest(store, moment=moment), Terminal(sys.stdout, sys.stderr))
    assert composed.until == date(2027, 1, 1)
    assert beginning_of(composed.until, ZoneInfo("America/Chicago")) == datetime(2027, 1, 1, 6, tzinfo=UTC)


def test_a_record_edited_during_a_build_is_shown_consistently_and_updated_by_the_next_build(store, tmp_path):
    """Edited at every look that the build takes at it, by real builds; the number of bytes stays as it was."""
    shutil.rmtree(store / "vehicles/K901")
    shutil.rmtree(store / ".cache")  # what was read before would be looked at once
    program = [sys.executable, "-m", "tests.commands.edited_meanwhile", store, tmp_path / "tried"]
    done = subprocess.run(program, cwd=REPOSITORY, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    tried = sorted((tmp_path / "tried").iterdir())
    assert len(tried) >= 3
    for one in tried:
        assert prices(one / "first") in ({b"13450"}, {b"12990"}), one.name
        assert b"12990" in (one / "published/vehicles/K900/record.json").read_bytes(), one.name
    assert {tuple(prices(one / "first")) for one in tried} == {(b"13450",), (b"12990",)}


def prices(site: Path) -> set[bytes]:
    """Return the prices of K900, before and after its edit, that its page, its data and the list's data tell."""
    listed = json.loads((site / "inventory.json").read_bytes())["itemListElement"]
    of_it = next(one["item"] for one in listed if one["item"]["sku"] == "K900")
    own = [path.read_bytes() for path in (site / "vehicles/K900").glob("*.html")]
    told = b"".join((*own, (site / "vehicles/K900/record.json").read_bytes(), json.dumps(of_it).encode()))
    return {price.replace(b",", b"") for price in re.findall(rb"13,?450|12,?990", told)}
