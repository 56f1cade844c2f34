"""`sitegen build` and `sitegen check` on a real store: their files, output and exit codes."""

from __future__ import annotations

import csv
import json
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from PIL import Image

from sitegen.commands import main
from sitegen.commands.shared.template_problems import template_problem
from sitegen.ledger.ledger_files import one_build_at_a_time
from sitegen.shared_data import ThemeFolders
from tests.builders import write_store
from tests.conftest import DEMO_DAY, REPOSITORY, run_sitegen, run_sitegen_apart

K900 = "vehicles/K900/inspection.yaml"


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def copied_backwards(folder: Path, to: Path) -> Path:
    """Copy a folder so that its entries come about in the opposite order, in which many file systems list them."""
    for path in sorted(folder.rglob("*"), reverse=True):
        target = to / path.relative_to(folder)
        (target if path.is_dir() else target.parent).mkdir(parents=True, exist_ok=True)
        if path.is_file():
            shutil.copy2(path, target)
    return to


def test_the_same_store_gives_the_same_bytes_anywhere_and_on_any_day(new_store, tmp_path):
    """By another number of workers, and whatever else may differ: see `here` and `there`.

    A line of the ledger tells when it was written, and pages its digest: so the other day comes with the same ledger.
    """
    store, moved = new_store, copied_backwards(new_store, tmp_path / "elsewhere" / "störe")
    here = {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C"}
    there = {"PYTHONHASHSEED": "77", "TZ": "Pacific/Kiritimati", "LC_ALL": "de_DE.UTF-8"}
    assert run_sitegen_apart("build", store, "--jobs", "1", env=here).returncode == 0
    to = tmp_path / "host" / "site"
    assert run_sitegen_apart("build", moved, "--jobs", "2", "--to", to, env=there, umask=0o077).returncode == 0
    assert (moved / "ledger.jsonl").read_bytes() == (store / "ledger.jsonl").read_bytes()
    made = everything(store / "published")
    assert {Path(path).suffix for path in made} >= {".html", ".css", ".avif", ".jpg"}
    assert everything(to) == made
    assert not (moved / "published").exists()
    shutil.rmtree(moved / ".cache")
    later = str(int(DEMO_DAY) + 40 * 24 * 60 * 60)
    assert run_sitegen_apart("build", moved, env={"SOURCE_DATE_EPOCH": later}).returncode == 0
    assert everything(moved / "published") == made


def test_the_result_says_where_to_look_and_progress_is_two_plain_lines(new_store):
    done = run_sitegen("build", new_store)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == f"Open {new_store / 'published' / 'index.html'}"
    assert done.stderr == "Photos: 2 to make\nPhotos: 2 of 2 made\n"


def test_a_second_build_creates_and_writes_nothing(store):
    run_sitegen("build", store)
    times = {path: path.stat().st_mtime_ns for path in (store / "published").rglob("*")}
    again = run_sitegen("build", store)
    assert again.stdout.startswith("Published 2 vehicles; files: 0 new or changed, ")
    assert again.stderr == ""
    assert {path: path.stat().st_mtime_ns for path in (store / "published").rglob("*")} == times


def test_every_mistake_is_reported_at_its_line_and_column_and_nothing_is_published(store, edit, capsys):
    places = [edit(K900, "drive: awd", "drive: sideways"), edit("site.yaml", "currency: USD", "currency: dollars")]
    assert main(["build", str(store)]) == 1
    told = capsys.readouterr()
    (drive_line, drive_column), (currency_line, currency_column) = places
    lines = told.err.splitlines()
    assert any(line.startswith(f"{K900}:{drive_line}:{drive_column + len('drive: ')}: ") for line in lines)
    assert any(
        line.startswith(f"site.yaml:{currency_line}:{currency_column + len('currency: ')}: ") for line in lines
    )
    assert lines[-1].startswith("2 errors")
    assert told.out == ""
    assert not (store / "published").exists()


SMALL = b"{% macro ruler_small(ruler) %}{% endmacro %}"
"""What another component takes from the same file."""


@pytest.mark.parametrize(
    ("written", "told"),
    [
        (b"{% macro ruler_drawing(ruler) %}\n{{ ruler.no_such_thing }}\n{% endmacro %}\n" + SMALL, ":2:1: found "),
        (SMALL + b"{% macro ruler_drawing(ruler) %}\n", ":1:1: found Unexpected end of template"),
        (b"{# \xff #}\n", ":1:4: found a byte that is not UTF-8 (0xFF)"),
        (b"{% macro ruler() %}{% endmacro %}\n", ": found no such macro; expected the macro ruler_drawing"),
    ],
)
def test_a_mistake_in_the_stores_own_theme_is_reported_at_its_line(store, capsys, written, told):
    file = store / "theme" / "components" / "ruler" / "ruler.html"
    file.parent.mkdir(parents=True)
    file.write_bytes(written)
    assert main(["build", str(store)]) == 1
    assert f"theme/components/ruler/ruler.html{told}" in capsys.readouterr().err
    assert not (store / "published").exists()


@pytest.mark.parametrize("command", ["build", "check"])
def test_a_template_of_the_store_cannot_run_a_program(store, tmp_path, capsys, command):
    file = store / "theme" / "components" / "ruler" / "ruler.html"
    file.parent.mkdir(parents=True)
    attack = "{{ cycler.__init__.__globals__.os.popen('touch " + str(tmp_path / "ran") + "').read() }}"
    file.write_text("{% macro ruler_drawing(ruler) %}" + attack + "{% endmacro %}\n" + SMALL.decode())
    assert main([command, str(store)]) == 1
    assert "theme/components/ruler/ruler.html:1:1: found access to attribute '__init__'" in capsys.readouterr().err
    assert not (tmp_path / "ran").exists()


def test_an_exception_of_our_code_below_a_template_is_not_reported_as_the_templates(tmp_path):
    """What a view model raises, asked by a template, goes on as it is; what the template gets wrong is told."""
    environment = Environment(loader=FileSystemLoader(tmp_path), undefined=StrictUndefined)
    (tmp_path / "page.html").write_text("{{ view.words }}\n{{ view.wrods }}\n")

    class Broken:
        @property
        def words(self) -> str:
            raise ZeroDivisionError

    class Whole:
        words = "well"

    folders = ThemeFolders(tmp_path / "theme", tmp_path)
    told = []
    for view in (Broken(), Whole()):
        try:
            environment.get_template("page.html").render(view=view)
        except Exception as fault:
            with suppress(ZeroDivisionError):
                told.append(template_problem(fault, folders).as_line())
    assert len(told) == 1
    assert ":2:1: found " in told[0]


def test_a_store_may_override_style_sheets_and_share_pictures(store):
    """Own styles come last of all that are not in layers; the picture's paper is the store's color."""
    assert main(["build", str(store)]) == 0
    (theme,) = (REPOSITORY / "themes").iterdir()
    look = (theme / "share_picture.yaml").read_text("utf-8")
    (store / "theme" / "styles").mkdir(parents=True)
    (store / "theme" / "share_picture.yaml").write_text(look.replace("#fbf8f1", "#204060"), "utf-8")
    (store / "theme" / "styles" / "own.css").write_text("body { outline: 1px solid }\n", "utf-8")
    assert main(["build", str(store)]) == 0
    page = (store / "published/vehicles/K900/index.html").read_text("utf-8")
    (style,) = re.findall(r"assets/[-\w]+/style\.css", page)
    assert "body{outline:1px solid}" in (store / "published" / style).read_text("utf-8")
    (named,) = re.findall(r"pictures/(share-\w+\.jpg)", page)
    with Image.open(store / "published" / "pictures" / named) as picture:
        corner: Any = picture.convert("RGB").getpixel((1190, 620))
    assert all(abs(found - meant) < 8 for found, meant in zip(corner, (0x20, 0x40, 0x60), strict=True))


def test_a_mistake_leaves_the_published_site_as_it_was(store, edit):
    assert main(["build", str(store)]) == 0
    before = everything(store / "published")
    edit(K900, "price: 13450", "price: cheap")
    assert main(["build", str(store)]) == 1
    assert everything(store / "published") == before


def test_check_reports_the_same_problems_as_json(store, edit, capsys):
    line, column = edit(K900, "price: 13450", "price: cheap")
    assert main(["check", str(store), "--format", "json"]) == 1
    problems = json.loads(capsys.readouterr().out)
    errors = [problem for problem in problems if problem["severity"] == "error"]
    assert len(errors) == 1
    assert (errors[0]["file"], errors[0]["line"], errors[0]["column"]) == (K900, line, column + len("price: "))
    assert set(errors[0]) == {"file", "line", "column", "where", "found", "expected", "mend", "severity"}


def test_check_warns_of_poor_photos_and_publishes_nothing(store, capsys):
    """Photos of 640 pixels are too small for the page; a warning alone is no failure."""
    assert main(["check", str(store)]) == 0
    told = capsys.readouterr().err
    assert "vehicles/K900/photos/front.jpg: warning: found a photo 640 pixels wide" in told
    assert "error" not in told
    assert not (store / "published").exists()


def test_check_warns_of_empty_captions_at_their_line(store, edit, capsys):
    line, column = edit(K900, "shows: The front of the vehicle.", "shows: IMG_2041")
    assert main(["check", str(store)]) == 0
    told = f'{K900}:{line}:{column + len("shows: ")}: warning: photos[1].shows: found "IMG_2041"'
    assert told in capsys.readouterr().err


def test_check_reports_a_photo_that_cannot_be_opened(store, capsys):
    (store / "vehicles" / "K900" / "photos" / "front.jpg").write_bytes(b"not a photo")
    assert main(["check", str(store)]) == 1
    assert "vehicles/K900/photos/front.jpg: found a file that is no photo" in capsys.readouterr().err


def shows(store, stock):
    """Tell whether a vehicle's page shows what was measured; an address that was published before keeps a notice."""
    page = store / "published" / "vehicles" / stock / "index.html"
    return page.is_file() and 'id="measured"' in page.read_text("utf-8")


def test_a_tire_below_the_inspection_figure_holds_its_vehicle_back_with_the_line(store, edit, capsys):
    """49 CFR 570.9(a): not less than 2/32 in. The other vehicle is published."""
    line, column = edit(K900, "inner: 6/32 in", "inner: 1/32 in")
    assert main(["build", str(store)]) == 1
    told = capsys.readouterr().err.splitlines()
    assert told[-2:] == [
        f"{K900}:{line}:{column + len('inner: ')}: tires.left_front.tread.inner: found 1/32 in; expected nothing "
        "that holds the page back (The left front tire has 1/32 in of tread at its lowest point. That is below the "
        "inspection figure of 2/32 in.); to mend, add what you will do to before_delivery, with "
        "renews: [tires.left_front] and by: replaced, repaired or removed; or set status: preparing until it is done",
        "1 error",
    ]
    assert not shows(store, "K900")
    assert shows(store, "K901")
    assert "vehicles/K900/" not in (store / "published" / "index.html").read_text("utf-8")


def test_a_safety_defect_holds_its_vehicle_back_until_the_record_says_what_will_be_done(store, edit, capsys):
    edit(K900, "affects: function", "affects: safety")
    assert main(["check", str(store)]) == 1
    assert (
        "with settles: [fog-light-lens] and by: replaced, repaired or removed; or set status: preparing"
        in capsys.readouterr().err
    )
    promise = "before_delivery:\n- what: A new fog light.\n  settles: [fog-light-lens]\n  by: replaced\ndefects:\n"
    edit(K900, "defects:\n", promise)
    assert main(["build", str(store)]) == 0
    assert "A new fog light." in (store / "published" / "vehicles" / "K900" / "index.html").read_text("utf-8")


@pytest.mark.parametrize(("status", "shown"), [("preparing", False), ("sold", True)])
def test_a_vehicle_in_preparation_is_neither_shown_nor_held_and_a_sold_one_keeps_its_page(store, edit, status, shown):
    edit(K900, "inner: 6/32 in", "inner: 1/32 in")
    edit(K900, "status: for sale", f"status: {status}" + ("\nsold_on: 2026-10-20" if shown else ""))
    assert main(["build", str(store)]) == 0
    assert shows(store, "K900") is shown


@pytest.mark.parametrize(("moment", "is_forgotten"), [("1795327199", False), ("1795327200", True)])
def test_today_is_the_day_at_the_store(store, edit, monkeypatch, moment, is_forgotten):
    """2026-11-22 05:59:59 UTC is still November 21 in Chicago (tz database: UTC-6 in winter), a second later is not.

    A vehicle sold on October 22 is to be forgotten by search engines after 30 days.
    """
    edit(K900, "status: for sale", "status: sold\nsold_on: 2026-10-22")
    edit("site.yaml", "name:", "sold_noindex_after_days: 30\nname:")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", moment)
    assert main(["build", str(store)]) == 0
    page = (store / "published" / K900.replace("inspection.yaml", "index.html")).read_text("utf-8")
    assert ('content="noindex"' in page) is is_forgotten


def test_a_full_disk_is_reported_the_old_site_stays_and_the_next_build_succeeds(store, edit):
    """A process may write files of limited size (setrlimit(2), RLIMIT_FSIZE): the write fails as on a full disk.

    By how much there is, the memory of pictures, that of pages or the site itself finds no room.
    """
    assert main(["build", str(store)]) == 0
    before = everything(store / "published")
    edit(K900, "price: 13450", "price: 12990")
    for limit in (0, 2_000, 30_000):
        done = run_sitegen_apart(
            "build",
            store,
            env={"PYTHONDONTWRITEBYTECODE": "1"},  # or the interpreter leaves cut-off compiled modules behind
            preexec_fn=partial(resource.setrlimit, resource.RLIMIT_FSIZE, (limit, limit)),
        )
        assert (done.returncode, done.stdout) == (1, ""), limit
        assert re.search(r"room (left )?on the disk", done.stderr), done.stderr
        assert re.search(r"the published site is (unchanged|complete)", done.stderr)
        assert everything(store / "published") == before
    assert main(["build", str(store)]) == 0
    assert "12,990" in (store / "published/vehicles/K900/index.html").read_text("utf-8")
    assert main(["ledger", str(store), "verify"]) == 0


def test_a_published_picture_that_was_edited_is_restored(store):
    """It is the cache's own under a second name: another of as many bytes, and one cut short, in one build."""
    assert main(["build", str(store)]) == 0
    before = everything(store / "published")
    emptied, cut, *_ = sorted(path for path in (store / "published/pictures").iterdir() if path.suffix == ".avif")
    emptied.write_bytes(bytes(emptied.stat().st_size))
    cut.write_bytes(cut.read_bytes()[:-9])
    assert main(["build", str(store)]) == 0
    assert everything(store / "published") == before


def test_a_clock_that_was_set_back_is_reported_and_its_day_is_used(store, edit, capsys, monkeypatch):
    """A line of the ledger cannot be taken back; a record of a day to come is refused, and the old site stays."""

    def built_on(day: int) -> tuple[int, str]:
        monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(DEMO_DAY) + day * 24 * 60 * 60))
        return main(["build", str(store)]), capsys.readouterr().err

    assert built_on(20) == (0, "")
    edit(K900, "price: 13450", "price: 12990")
    code, told = built_on(10)
    before, last = ((store / "ledger.jsonl").read_text("utf-8").splitlines())[-2:]
    earlier, later = (json.loads(line)["time"] for line in (last, before))
    found = f"found a line of {earlier} after one of {later}; expected a clock that only goes forward; to mend, "
    assert code == 0
    assert told.startswith(f"ledger.jsonl:{json.loads(last)['sequence']}:1: warning: {found}set this machine's clock")
    assert earlier < later
    assert "12,990" in (store / "published/vehicles/K900/index.html").read_text("utf-8")
    made = everything(store / "published")
    assert built_on(10) == built_on(11) == (0, "")
    code, told = built_on(-400)
    assert code == 1
    assert f"{K900}:" in told
    assert everything(store / "published") == made
    assert main(["ledger", str(store), "verify"]) == 0
    assert main(["ledger", str(store), "show", "K900", "--on", "2026-12-05"]) == 0
    assert f"A clock was set back before revision 2 ({earlier}): what held" in capsys.readouterr().out
    edit(K900, "price: 12990", "price: 12490")
    assert built_on(21)[0] == 0
    assert "12,490" in (store / "published/vehicles/K900/index.html").read_text("utf-8")


def test_ctrl_c_ends_quietly(tmp_path):
    """POSIX shells tell an end by signal 2 as 130. The signal goes to the whole group, as from a terminal."""
    photos = [{"file": f"view-{number}.jpg", "shows": f"View number {number}."} for number in range(8)]
    store = write_store(tmp_path / "store", [{"photos": photos}], photo_size=(1600, 1200))
    command = [sys.executable, "-m", "sitegen", "build", str(store)]
    options: dict[str, Any] = {"cwd": REPOSITORY, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(command, start_new_session=True, **options) as process:
        first = process.stderr.readline()
        os.killpg(process.pid, signal.SIGINT)
        out, rest = process.communicate()
    assert first == "Photos: 9 to make\n"
    assert process.returncode == 130
    assert rest.replace("Photos: ", "").strip("0123456789 ofmade\n") == ""
    assert out == ""
    assert not (store / "published").exists()


def test_an_unusable_scheduler_is_reported_without_a_traceback(new_store, capsys):
    """Port 1 of this computer answers nobody."""
    assert main(["build", str(new_store), "--scheduler", "tcp://127.0.0.1:1"]) == 2
    assert "scheduler" in capsys.readouterr().err
    assert not (new_store / "published").exists()


@pytest.mark.parametrize(
    ("place", "found"),
    [
        ("/", "the top of the disk"),
        (".", "a folder that holds the store itself"),
        ("..", "a folder that holds the store itself"),
        ("vehicles", "a place inside the store"),
        ("vehicles/K900/photos/new", "a place inside the store"),
        ("published/site", "a place inside the store"),
        ("../mine", "a folder with files in it that sitegen did not publish"),
        ("../letter.txt", "a file where the site's folder should be"),
        ("link", "a folder with files in it that sitegen did not publish"),
    ],
)
def test_a_mistyped_target_folder_is_refused_before_the_build(new_store, capsys, place, found):
    outside = new_store.parent
    (outside / "mine").mkdir()
    for name in ("mine/letter.txt", "letter.txt"):
        (outside / name).write_text("dear")
    (new_store / "link").symlink_to(outside / "mine")
    before = {path: path.stat().st_mtime_ns for path in outside.rglob("*")}
    assert main(["build", str(new_store), "--to", str(new_store / place)]) == 1
    told = capsys.readouterr().err
    assert f"found {found}; expected a folder that the site can be published to" in told
    assert "Photos" not in told
    assert {path: path.stat().st_mtime_ns for path in outside.rglob("*")} == before


def test_control_and_direction_characters_are_escaped_on_the_terminal(store, edit, capsys):
    """CWE-150; CVE-2021-42574. U+2067 may stand in a text; a file's name may hold anything."""
    (store / "vehicles/K900/photos/\u202egpj.\x1b[2J\n\udcff.jpg").write_bytes(b"")
    assert main(["check", str(store)]) == 0
    told = capsys.readouterr().err
    assert r"photos/\u202egpj.\x1b[2J\n\udcff.jpg: warning: found a photo that is not used" in told
    edit("vehicles/K900/inspection.yaml", "status: for sale", "status: for\u2067 sale")
    assert main(["check", str(store)]) == 1
    told += capsys.readouterr().err
    assert r"found for\u2067 sale; expected" in told
    assert not set(told) & {"\u2067", "\u202e", "\x1b", "\udcff"}
    assert main(["check", str(store), "--format", "json"]) == 1
    assert "status" in {problem["where"] for problem in json.loads(capsys.readouterr().out)}


def test_no_cell_of_the_csv_export_is_a_formula(store, edit):
    """CWE-1236; OWASP, CSV Injection: what begins with = + - @, a tab or a return. Figures stay figures."""
    edit("vehicles/K900/inspection.yaml", "model: Fjordline", "model: '=2+5'\n  trim: '@sum(a1)'")
    assert main(["build", str(store)]) == 0
    with (store / "published/inventory.csv").open(encoding="utf-8", newline="") as table:
        rows = {row["stock"]: row for row in csv.DictReader(table)}
    assert (rows["K900"]["model"], rows["K900"]["trim"], rows["K900"]["price"]) == ("'=2+5", "'@sum(a1)", "13450")
    assert not [cell for row in rows.values() for cell in row.values() if cell.startswith(tuple("=+-@\t\r"))]


@pytest.mark.parametrize(
    ("file", "old", "new", "where"),
    [
        ("vehicles/K900/inspection.yaml", "shows: The front of the vehicle.", "shows: {zz: A}", "photos[1].shows.zz"),
        ("services.yaml", "prices:", "as_of: {en: May, qq-ZZ: B}\nprices:", "as_of.qq-ZZ"),
    ],
)
def test_an_unknown_language_is_reported_at_its_line(store, edit, capsys, file, old, new, where):
    line, _ = edit(file, old, new)
    assert main(["check", str(store)]) == 1
    (told,) = [
        one for one in capsys.readouterr().err.splitlines() if f"{file}:{line}:" in one and "warning" not in one
    ]
    assert f": {where}: found the language" in told
    edit(file, "zz: A" if "zz" in new else "qq-ZZ: B", "pt-BR: A")
    assert main(["check", str(store)]) == 0


@pytest.mark.parametrize("target", ["/sys/sitegen-site", "/dev/null/site"])
def test_an_unwritable_folder_is_reported_without_a_traceback(store, target):
    done = run_sitegen("build", store, "--to", target)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert done.stderr.splitlines()[-1] == "1 error"
    assert target.split("/site")[0] in done.stderr


def test_a_second_build_says_that_it_waits_and_succeeds_after_the_first(store):
    """The first is held by its lock, flock(2); the second speaks before it waits, and goes on when it may."""
    with one_build_at_a_time(store):
        command = [sys.executable, "-m", "sitegen", "build", str(store)]
        second = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        assert second.stdout is not None
        assert second.stdout.readline() == "Another build of this store is running; waiting until it has ended\n"
    assert "Published 2 vehicles" in second.communicate()[0]
    assert second.returncode == 0


def test_a_warning_about_a_difference_from_the_last_publication_is_not_repeated_after_the_next(
    store: Path, edit: Any, capsys: pytest.CaptureFixture[str]
):
    """The words under the first photo change: that is reported once, by the build that publishes them."""
    assert main(["build", str(store)]) == 0
    text = (store / "vehicles/K900/inspection.yaml").read_text("utf-8")
    (shown,) = re.findall(r"shows: (The front[^,}\n]*)", text)[:1]
    edit("vehicles/K900/inspection.yaml", shown, "The other end")
    capsys.readouterr()
    reported = []
    for _ in range(3):
        assert main(["build", str(store)]) == 0
        reported.append("differs from what was published" in capsys.readouterr().err)
    assert reported == [True, False, False]
