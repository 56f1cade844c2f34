"""`sitegen check` reports what `sitegen build` would. An error of one vehicle hides no problem of another."""

from __future__ import annotations

import random
import re
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from sitegen.commands import main
from tests.conftest import DEMO_DAY
from tests.random_edits import edit_at_random

EDITS, SEED = 4, 23
K900 = "vehicles/K900/inspection.yaml"
RULER = "theme/components/ruler/ruler.html"

Change = Callable[[Path], None]


@pytest.fixture
def published(built_store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the store with its pictures, its site, and the ledger that tells of both vehicles."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    return shutil.copytree(built_store, tmp_path / "published_store")


def edit(old: str, new: str, file: str = K900) -> Change:
    """Return what replaces a text where it first stands in a file."""

    def change(store: Path) -> None:
        text = (store / file).read_text("utf-8")
        assert old in text
        (store / file).write_text(text.replace(old, new, 1), "utf-8")

    return change


def write(file: str, content: bytes) -> Change:
    """Return what writes a file anew."""

    def change(store: Path) -> None:
        (store / file).parent.mkdir(parents=True, exist_ok=True)
        (store / file).write_bytes(content)

    return change


def cut_short(store: Path) -> None:
    """Leave of a photo what tells its size, so that nothing but to decode it finds the rest gone."""
    photo = store / "vehicles/K900/photos/front.jpg"
    photo.write_bytes(photo.read_bytes()[:1200])


def take_away(store: Path) -> None:
    shutil.rmtree(store / "vehicles/K901")


SMALL = b"{% macro ruler_small(ruler) %}{% endmacro %}"
FAILS_ON_A_PAGE = b"{% macro ruler_drawing(ruler) %}\n{{ ruler.no_such_thing }}\n{% endmacro %}\n" + SMALL
IS_NO_TEMPLATE = SMALL + b"{% macro ruler_drawing(ruler) %}\n"

FAULTS: dict[str, tuple[Change, str]] = {
    "reading": (edit("drive: awd", "drive: sideways"), K900),
    "a tire holds": (edit("inner: 6/32 in", "inner: 1/32 in"), K900),
    "a lining holds": (edit("pads:\n      inner: 6 mm", "pads:\n      inner: 1 mm"), K900),
    "a defect holds": (edit("affects: function", "affects: safety"), K900),
    "a photo is none": (write("vehicles/K900/photos/front.jpg", b"not a photo"), "vehicles/K900/photos/front.jpg"),
    "a photo is cut short": (cut_short, "vehicles/K900/photos/front.jpg"),
    "no such photo": (lambda store: (store / "vehicles/K900/photos/front.jpg").unlink(), K900),
    "a flaw is gone": (edit("size: 6 cm", "size: 2 cm"), K900),
    "words are others": (edit("note: The left lens is", "note: The right lens is"), K900),
    "a vehicle is gone": (take_away, "vehicles/K901: warning"),
    "the ledger is damaged": (edit('"record"', '"recorb"', "ledger.jsonl"), "ledger.jsonl"),
    "a template cannot be read": (write(RULER, IS_NO_TEMPLATE), f"{RULER}:1:1"),
    "a template fails on a page": (write(RULER, FAILS_ON_A_PAGE), f"{RULER}:2:1"),
}


def told_by(command: str, store: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, set[str]]:
    """Return how a command ends and its lines about problems."""
    code = main([command, str(store)])
    lines = capsys.readouterr().err.splitlines()
    return code, {line for line in lines if not re.match(r"Photos: |\d+ (error|warning)", line)}


def errors(lines: set[str]) -> set[str]:
    return {line for line in lines if ": warning: " not in line}


def assert_agree(store: Path, capsys: pytest.CaptureFixture[str]) -> set[str]:
    """Check, then build; return what the build told."""
    checked_code, checked = told_by("check", store, capsys)
    built_code, built = told_by("build", store, capsys)
    assert checked_code == built_code
    assert checked >= built
    return built


@pytest.mark.parametrize("fault", FAULTS)
def test_check_reports_every_error_and_warning_of_a_build(published: Path, capsys, fault):
    change, told = FAULTS[fault]
    change(published)
    assert any(line.startswith(told) for line in assert_agree(published, capsys))


def test_an_error_of_one_vehicle_hides_no_problem_of_another(published: Path, capsys):
    """A build stops at the first file with an error; the gate's reasons and unusable photos are reported with it."""
    other = K900.replace("K900", "K901")
    changes = (
        edit("drive: awd", "drive: sideways"),
        edit("inner: 6/32 in", "inner: 1/32 in", other),
        write("vehicles/K901/photos/front.jpg", b"not a photo"),
    )
    for change in changes:
        change(published)
    built = assert_agree(published, capsys)
    _, checked = told_by("check", published, capsys)
    assert {line.partition(":")[0] for line in errors(built)} == {K900, other, "vehicles/K901/photos/front.jpg"}
    assert {line.partition(":")[0] for line in errors(checked)} == {K900, other, "vehicles/K901/photos/front.jpg"}


def test_after_random_edits_check_reports_what_the_build_reports(published: Path, capsys):
    """Warnings of what was published otherwise are among it, since each edit is held against the ledger."""
    dice, told = random.Random(SEED), set()
    for _ in range(EDITS):
        edit_at_random(published, dice)
        told |= assert_agree(published, capsys)
    assert told


def tasks_run(store: Path) -> set[str]:
    """Return the names of the tasks with a stored result."""
    with closing(sqlite3.connect(store / ".cache/results.sqlite")) as database:
        return {name.rpartition(":")[2] for (name,) in database.execute("select distinct task from result")}


def test_check_composes_pages_only_for_a_store_with_its_own_templates(published: Path):
    (published / ".cache/results.sqlite").unlink()
    assert main(["check", str(published)]) == 0
    assert {"may_publish", "record_json"} <= tasks_run(published)
    assert "vehicle_pages" not in tasks_run(published)
    sound = b"{% macro ruler_drawing(ruler) %}{% endmacro %}\n" + SMALL
    write(RULER, sound)(published)
    assert main(["check", str(published)]) == 0
    assert "vehicle_pages" in tasks_run(published)
