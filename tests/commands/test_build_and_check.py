"""`sitegen build` and `sitegen check` on a real store: what they write, what they say, and how they end."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from sitegen.commands import main
from tests.conftest import REPOSITORY, run_sitegen

K102 = "vehicles/K102/inspection.yaml"


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_two_builds_of_the_same_store_in_two_places_are_the_same_bytes(store, demo_site_built, tmp_path):
    assert run_sitegen("build", store, "--to", tmp_path / "host" / "site").returncode == 0
    assert everything(tmp_path / "host" / "site") == everything(demo_site_built)
    assert not (store / "published").exists()


def test_a_build_from_nothing_with_one_worker_makes_the_same_bytes(store, demo_site_built):
    """No memory of earlier builds, another number of workers: the result does not depend on either."""
    shutil.rmtree(store / ".cache")
    for other in (store / "vehicles").iterdir():
        if other.name != "K101":
            shutil.rmtree(other)
    done = run_sitegen("build", store, "--jobs", "1")
    assert done.returncode == 0, done.stderr
    made = everything(store / "published")
    before = everything(demo_site_built)
    pictures = [path for path in made if path.startswith("pictures/")]
    assert len(pictures) > 10
    assert {path: made[path] for path in pictures} == {path: before[path] for path in pictures}


def test_the_result_says_where_to_look_and_progress_is_a_few_plain_lines(store):
    shutil.rmtree(store / ".cache")
    for other in (store / "vehicles").iterdir():
        if other.name != "K101":
            shutil.rmtree(other)
    done = run_sitegen("build", store)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == f"Open {store / 'published' / 'index.html'}"
    progress = [line for line in done.stderr.splitlines() if "photos" in line.lower()]
    assert 1 <= len(progress) <= 3
    again = run_sitegen("build", store)
    assert "files: 0 new or changed" in again.stdout
    assert "\x1b" not in done.stdout + done.stderr + again.stderr


def test_every_mistake_is_told_at_its_line_and_column_and_nothing_is_published(store, edit, capsys):
    places = [edit(K102, "drive: awd", "drive: sideways"), edit("site.yaml", "currency: USD", "currency: dollars")]
    assert main(["build", str(store)]) == 1
    told = capsys.readouterr()
    (drive_line, drive_column), (currency_line, currency_column) = places
    lines = told.err.splitlines()
    assert any(line.startswith(f"{K102}:{drive_line}:{drive_column + len('drive: ')}: ") for line in lines)
    assert any(
        line.startswith(f"site.yaml:{currency_line}:{currency_column + len('currency: ')}: ") for line in lines
    )
    assert lines[-1].startswith("2 errors")
    assert told.out == ""
    assert not (store / "published").exists()


def test_a_mistake_leaves_the_published_site_as_it_was(store, edit):
    assert main(["build", str(store)]) == 0
    before = everything(store / "published")
    edit(K102, "price: 13450", "price: cheap")
    assert main(["build", str(store)]) == 1
    assert everything(store / "published") == before


def test_check_tells_the_same_for_machines(store, edit, capsys):
    line, column = edit(K102, "price: 13450", "price: cheap")
    assert main(["check", str(store), "--format", "json"]) == 1
    problems = json.loads(capsys.readouterr().out)
    errors = [problem for problem in problems if problem["severity"] == "error"]
    assert len(errors) == 1
    assert (errors[0]["file"], errors[0]["line"], errors[0]["column"]) == (K102, line, column + len("price: "))
    assert set(errors[0]) == {"file", "line", "column", "where", "found", "expected", "mend", "severity"}


def test_check_of_the_demo_store_is_good_and_publishes_nothing(store, capsys):
    assert main(["check", str(store)]) == 0
    assert "error" not in capsys.readouterr().err
    assert not (store / "published").exists()


def test_a_photo_that_cannot_be_opened_is_told_by_check(store, capsys):
    photo = next((store / "vehicles" / "K102" / "photos").glob("*.jpg"))
    photo.write_bytes(b"not a photo")
    assert main(["check", str(store)]) == 1
    assert f"vehicles/K102/{'inspection.yaml'}" in capsys.readouterr().err


def test_a_tire_below_the_inspection_figure_holds_its_vehicle_back_with_the_line(store, edit, capsys):
    """49 CFR 570.9(a): not less than 2/32 in. The other vehicles are published."""
    old = "tread: {outer: 7/32 in, center: 7/32 in, inner: 5/32 in}"
    line, column = edit(K102, old, old.replace("5/32", "1/32"))
    assert main(["build", str(store)]) == 1
    told = capsys.readouterr().err
    assert f"{K102}:{line}:{column + old.index('5/32')}: " in told
    assert "tires.left_front.tread.inner" in told
    assert not (store / "published" / "vehicles" / "K102").exists()
    assert (store / "published" / "vehicles" / "K101" / "index.html").is_file()
    assert "vehicles/K102/" not in (store / "published" / "index.html").read_text("utf-8")


def test_today_is_the_day_at_the_store(store, monkeypatch):
    """2026-11-22 03:00 UTC is still November 21 in Chicago (tz database: UTC-6 in winter)."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795316400")
    assert main(["build", str(store)]) == 0
    page = (store / "published" / K102.replace("inspection.yaml", "index.html")).read_text("utf-8")
    assert "November 21, 2026" in page
    assert "November 22, 2026" not in page


def test_ctrl_c_ends_quietly(store):
    """POSIX shells tell an end by signal 2 as 130. The signal goes to the whole group, as from a terminal."""
    shutil.rmtree(store / ".cache")
    command = [sys.executable, "-m", "sitegen", "build", str(store)]
    options = {"cwd": REPOSITORY, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(command, start_new_session=True, **options) as process:
        first = process.stderr.readline()
        os.killpg(process.pid, signal.SIGINT)
        out, rest = process.communicate()
    assert "photos" in first.lower()
    assert process.returncode == 130
    assert "Traceback" not in rest
    assert out == ""
    assert not (store / "published").exists()


@pytest.mark.parametrize("target", ["/sys/sitegen-site", "/dev/null/site"])
def test_a_place_that_cannot_be_written_is_told_without_a_traceback(store, target):
    done = run_sitegen("build", store, "--to", target)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert done.stderr.splitlines()[-1] == "1 error"
    assert target.split("/site")[0] in done.stderr
