"""The ledger as a person asks it: verify, show, hand over. Outside source: sha256sum of GNU coreutils."""

from __future__ import annotations

import shutil
import subprocess
import zipfile
from pathlib import Path
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest

from tests.conftest import run_sitegen


@pytest.fixture(scope="module")
def demo_copy(demo_store: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo store after a build, with its pictures and revisions: to be read only, but for what verify finds."""
    return shutil.copytree(
        demo_store, tmp_path_factory.mktemp("kept") / "store", ignore=shutil.ignore_patterns("published")
    )


@pytest.fixture(scope="module")
def handover_files(demo_copy: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the buyer of K102 gets, unpacked somewhere else."""
    packed = tmp_path_factory.mktemp("given") / "for-the-buyer.zip"
    done = run_sitegen("ledger", demo_copy, "hand-over", "K102", "--to", packed)
    assert done.returncode == 0, done.stderr
    folder = tmp_path_factory.mktemp("buyer")
    zipfile.ZipFile(packed).extractall(folder)
    return folder


def test_verify_accepts_an_intact_ledger_and_names_a_changed_photo(demo_copy: Path):
    done = run_sitegen("ledger", demo_copy, "verify")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("All 9 lines")
    photo = min((demo_copy / "revisions" / "shown").iterdir())
    whole = photo.read_bytes()
    photo.write_bytes(whole[:-1])
    done = run_sitegen("ledger", demo_copy, "verify")
    photo.write_bytes(whole)
    assert done.returncode == 1
    assert f"revisions/shown/{photo.name}: it is not as it was when it was disclosed" in done.stderr


def test_a_store_that_has_published_nothing_has_an_empty_ledger(tmp_path: Path):
    run_sitegen("start", tmp_path / "new")
    done = run_sitegen("ledger", tmp_path / "new", "verify")
    assert (done.returncode, done.stdout) == (0, "The ledger is empty: nothing has been published yet.\n")


def test_show_prints_the_page_and_the_record_of_a_day(demo_copy: Path):
    done = run_sitegen("ledger", demo_copy, "show", "K102", "--on", "2026-11-30")
    assert done.returncode == 0, done.stderr
    assert "revision 1, line 2 of the ledger" in done.stdout
    assert "Lowest tread 5/32 in" in " ".join(done.stdout.split())
    assert '"stock": "K102"' in done.stdout
    spanish = run_sitegen("ledger", demo_copy, "show", "K102", "--language", "es").stdout
    assert "2016 Brevik Fjordline" in spanish
    assert "Lowest tread" not in spanish


@pytest.mark.parametrize("harm", [b"", b"{", b"\xff"])
def test_show_refuses_a_stored_record_that_was_altered(demo_copy: Path, harm: bytes):
    record = demo_copy / "revisions" / "K102" / "1" / "record.json"
    whole = record.read_bytes()
    record.write_bytes(harm)
    done = run_sitegen("ledger", demo_copy, "show", "K102")
    record.write_bytes(whole)
    assert done.returncode == 1
    assert "what is kept of it is not as it was: sitegen ledger" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (["show", "K999"], "the ledger has no K999; it has K101, K102"),
        (["show", "K102", "--on", "1999-01-01"], "it was first published on 2026-11-21"),
        (["show", "K102", "--on", "yesterday"], "expected a day such as 2026-10-12, found 'yesterday'"),
        (["show", "K102", "--language", "fr"], "it was not published in 'fr'"),
        (["hand-over", "K102", "--to", "."], "is there already"),
        ([], "say what to do: verify, stamp, show"),
    ],
)
def test_an_impossible_request_to_the_ledger_is_reported(demo_copy: Path, said: list[str], told: str):
    done = run_sitegen("ledger", demo_copy, *said)
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_the_buyer_can_check_every_file_with_sha256sum_alone(handover_files: Path, demo_copy: Path):
    done = subprocess.run(["sha256sum", "--check", "SHA256SUMS"], cwd=handover_files, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
    checked = {line.split(": ")[0] for line in done.stdout.splitlines()}
    files = {path.relative_to(handover_files).as_posix() for path in handover_files.rglob("*") if path.is_file()}
    assert checked == files - {"SHA256SUMS"}
    read_me = (handover_files / "read-me.txt").read_text("utf-8")
    record = subprocess.run(
        ["sha256sum", "vehicles/K102/record.json"], cwd=handover_files, capture_output=True, text=True
    ).stdout.split()[0]
    last = subprocess.run(
        "tail -n 1 ledger-lines.jsonl | tr -d '\\n' | sha256sum",
        cwd=handover_files, shell=True, capture_output=True, text=True,
    ).stdout.split()[0]  # fmt: skip
    for digest in (record, last):
        assert digest in read_me
        assert digest in (handover_files / "vehicles" / "K102" / "index.html").read_text("utf-8")
    assert "Para comprobar" in read_me
    line = (handover_files / "ledger-lines.jsonl").read_bytes()
    assert line in (demo_copy / "ledger.jsonl").read_bytes()


def test_the_buyers_page_works_from_a_disk_and_links_to_the_site(handover_files: Path, open_page):
    pages = sorted(handover_files.rglob("*.html"))
    assert {"vehicles/K102/index.html", "es/vehicles/K102/disclosure-sheet.html"} <= {
        page.relative_to(handover_files).as_posix() for page in pages
    }
    for page in pages:
        shown = open_page(page.as_uri(), width=390)
        shown.wait_for_load_state("load")
        links = shown.eval_on_selector_all("a[href]", "all => all.map((one) => one.getAttribute('href'))")
        links += shown.eval_on_selector_all("img", "all => all.map((one) => one.currentSrc || one.src)")
        for link in links:
            whole, _ = urldefrag(urljoin(page.as_uri(), link))
            if urlsplit(whole).scheme == "file":
                assert Path(unquote(urlsplit(whole).path)).is_file(), (page.name, link)
            elif urlsplit(whole).scheme not in ("mailto", "tel", "sms"):
                assert urlsplit(whole).hostname == "www.ferrow-lane.example", link


def test_altered_files_are_not_handed_over(demo_copy: Path, tmp_path: Path):
    store = shutil.copytree(demo_copy, tmp_path / "store", ignore=shutil.ignore_patterns("published"))
    file = store / "vehicles" / "K101" / "inspection.yaml"
    text = file.read_text("utf-8")
    file.write_text(text.replace("price: ", "price: 1", 1), "utf-8")
    done = run_sitegen("ledger", store, "hand-over", "K101", "--to", tmp_path / "given")
    assert done.returncode == 2
    assert "sitegen build it first" in done.stderr
    assert not (tmp_path / "given").exists()
