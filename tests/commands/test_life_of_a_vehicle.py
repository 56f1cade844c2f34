"""A vehicle from preparing to sold, and beyond: every address that was ever published still answers with a page.

Outside sources: RFC 9110, 15.5.5 (what a visitor would get otherwise: 404); HTML standard, 4.2.5.3 (meta refresh);
RFC 6596 (canonical).
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urljoin

import pytest
import yaml
from bs4 import BeautifulSoup

from sitegen.commands import main
from tests.builders import BASE_SETTINGS, write_photo
from tests.conftest import DEMO_DAY, run_sitegen, serve


def pages_in(published: Path) -> set[str]:
    return {path.relative_to(published).as_posix() for path in published.rglob("*.html")}


def read(published: Path, page: str) -> BeautifulSoup:
    return BeautifulSoup((published / page).read_text("utf-8"), "html.parser")


def change(store: Path, folder: str, **changes: object) -> None:
    file = store / "vehicles" / folder / "inspection.yaml"
    file.write_text(yaml.safe_dump({**yaml.safe_load(file.read_text("utf-8")), **changes}, sort_keys=False), "utf-8")


def settle(store: Path, **changes: object) -> None:
    file = store / "site.yaml"
    file.write_text(yaml.safe_dump({**yaml.safe_load(file.read_text("utf-8")), **changes}, sort_keys=False), "utf-8")


def build(store: Path) -> Path:
    done = run_sitegen("build", store)
    assert done.returncode == 0, done.stderr
    return store / "published"


def listed(published: Path) -> list[str]:
    return [str(card["data-stock"]) for card in read(published, "index.html").select(".vehicle-cards .vehicle-card")]


def sitemap(published: Path) -> str:
    return (published / "sitemap.xml").read_text("utf-8")


def test_every_address_ever_published_still_answers(store):
    """Sold, renamed, taken away, put back into preparation; a page of the store's own deleted; the folder emptied."""
    ever = pages_in(build(store))
    (store / "vehicles" / "K901").rename(store / "vehicles" / "K950")
    change(store, "K950", stock="K950", formerly=["K901"])
    ever |= pages_in(build(store))
    change(store, "K900", status="sold", sold_on="2026-11-01")
    (store / "pages" / "about.md").unlink()
    ever |= pages_in(build(store))
    change(store, "K950", status="preparing")
    ever |= pages_in(build(store))
    shutil.rmtree(store / "published")
    shutil.rmtree(store / "vehicles" / "K900")
    published = build(store)
    assert {"vehicles/K901/index.html", "vehicles/K950/index.html"} <= ever
    assert ever <= pages_in(published)
    for page in ever:
        assert read(published, page).h1.get_text(strip=True), page


@pytest.mark.parametrize("lost", [[".cache"], [".cache", "published"], [".cache", "ledger.jsonl", "revisions"]])
def test_no_address_is_lost_when_all_generated_files_are_deleted(store, lost):
    """The store's folder remembers what was published, and so does the published folder."""
    ever = pages_in(build(store))
    for name in lost:
        shutil.rmtree(store / name) if (store / name).is_dir() else (store / name).unlink()
    shutil.rmtree(store / "vehicles" / "K901")
    assert ever <= pages_in(build(store))


def test_the_old_address_of_a_renamed_vehicle_redirects(store, open_page):
    build(store)
    (store / "vehicles" / "K901").rename(store / "vehicles" / "K950")
    change(store, "K950", stock="K950", formerly=["K901"])
    published = build(store)
    page = read(published, "vehicles/K901/index.html")
    assert page.select_one("meta[http-equiv=refresh]")["content"] == "0; url=../K950/index.html"
    assert page.select_one("main a")["href"] == "../K950/index.html"
    canonical = page.find("link", rel="canonical")["href"]
    assert canonical == urljoin(str(BASE_SETTINGS["base_address"]), "vehicles/K950/")
    # No host need know of it: neither one that only sends files, nor a folder on a disk.
    with serve(published) as address:
        for place in (address, published.as_uri()):
            opened = open_page(f"{place}/vehicles/K901/index.html")
            opened.wait_for_url(f"{place}/vehicles/K950/index.html")


def test_a_sold_vehicles_page_says_so_first_without_price_and_links_to_similar_ones(store):
    change(store, "K900", status="sold", sold_on="2026-11-01")
    published = build(store)
    page = read(published, "vehicles/K900/index.html")
    first = page.h1.find_next(class_="first-words")
    assert "November 1, 2026" in first.get_text()
    assert first.find_previous(class_="vehicle-hero") is None
    assert "13,450" not in page.select_one(".vehicle-head").get_text().replace(
        page.select_one(".sold-near").get_text(), ""
    )
    assert [link["href"] for link in page.select(".sold-near a")] == ["../K901/index.html"]
    told = page.select_one("script[type='application/ld+json']").string
    assert "SoldOut" in told
    assert '"price"' not in told
    assert listed(published) == ["K901"]
    assert "vehicles/K900/" in sitemap(published)


@pytest.mark.parametrize(("days", "is_forgotten"), [(20, False), (19, True)])
def test_a_sold_vehicle_is_noindex_after_the_days_in_the_settings(store, days, is_forgotten):
    """The demo's day is November 21, 2026: 20 days after the sale."""
    change(store, "K900", status="sold", sold_on="2026-11-01")
    settle(store, sold_noindex_after_days=days)
    published = build(store)
    page = read(published, "vehicles/K900/index.html")
    assert bool(page.select("meta[name=robots][content=noindex]")) is is_forgotten
    assert ("vehicles/K900/" not in sitemap(published)) is is_forgotten


def test_a_vehicle_in_preparation_is_not_on_the_site_unless_the_store_wants_it(new_store):
    store = new_store
    change(store, "K900", status="preparing")
    published = build(store)
    assert "vehicles/K900/index.html" not in pages_in(published)
    settle(store, show_preparing=True)
    published = build(store)
    assert "coming soon" in read(published, "vehicles/K900/index.html").h1.get_text()
    assert "vehicles/K900/index.html" in [link["href"] for link in read(published, "index.html").select("section a")]
    assert listed(published) == ["K901"]


def test_a_former_stock_number_that_another_vehicle_has_is_a_problem_at_its_line(store):
    change(store, "K900", formerly=["K901"])
    told = run_sitegen("check", store)
    assert told.returncode == 1
    assert "formerly[1]: found K901, which is also in vehicles/K901/inspection.yaml" in told.stderr


def files_of(published: Path) -> dict[str, bytes]:
    files = (path for path in published.rglob("*") if path.is_file() and path.name != ".sitegen")
    return {path.relative_to(published).as_posix(): path.read_bytes() for path in files}


def take_away(store: Path) -> None:
    shutil.rmtree(store / "vehicles" / "K901")
    (store / "pages" / "about.md").unlink()


def style(store: Path) -> None:
    own = store / "theme" / "styles" / "own.css"
    own.parent.mkdir(parents=True)
    own.write_text("@layer components { .own { order: 1; } }\n", "utf-8")


EDITS: tuple[Callable[[Path], object], ...] = (
    lambda store: change(store, "K900", price=12900),
    take_away,
    lambda store: write_photo(store / "vehicles" / "K900" / "photos" / "front.jpg", (656, 480)),
    style,
    lambda store: settle(store, name="The Lane"),
    lambda store: change(store, "K900", status="sold", sold_on="2026-11-01"),
)


def test_the_files_in_the_report_are_enough_to_update_a_copy(store, tmp_path, monkeypatch):
    """Edit after edit: what a tab that is open may still ask for goes after some publications, there as here."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    remote = shutil.copytree(build(store), tmp_path / "remote")
    report = tmp_path / "report.json"
    removed = 0
    for edit in EDITS:
        edit(store)
        assert main(["build", str(store), "--jobs", "1", "--report", str(report)]) == 0
        told = json.loads(report.read_text("utf-8"))
        before = files_of(remote)
        for path in told["changed"]:
            (remote / path).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(Path(told["folder"]) / path, remote / path)
        for path in told["removed"]:
            (remote / path).unlink()
        after = files_of(remote)
        assert after == files_of(store / "published")
        assert {path for path in after if after[path] != before.get(path)} == set(told["changed"])
        removed += len(told["removed"])
        if edit is EDITS[0]:
            assert len(told["changed"]) < len(after) / 2
    assert removed
    assert main(["build", str(store), "--jobs", "1", "--report", str(report)]) == 0
    nothing: dict[str, list[str]] = {"changed": [], "removed": [], "left_out": []}
    assert json.loads(report.read_text("utf-8")) == {"folder": told["folder"], **nothing}


def test_an_unwritable_report_is_reported_before_publication(store, tmp_path):
    done = run_sitegen("build", store, "--report", tmp_path / "nowhere" / "report.json")
    assert done.returncode == 2
    assert "there is no folder" in done.stderr
    assert not (store / "published").exists()


@pytest.mark.parametrize("published", ["published", "elsewhere"])
def test_a_report_inside_the_published_folder_is_refused(store, tmp_path, published, capsys):
    to = [] if published == "published" else ["--to", str(tmp_path / published)]
    folder = store / "published" if published == "published" else tmp_path / published
    folder.mkdir()
    (tmp_path / "link").symlink_to(folder)
    for place in (folder / "report.json", folder / "K1" / ".." / "report.json", tmp_path / "link" / "report.json"):
        (folder / "K1").mkdir(exist_ok=True)
        assert main(["build", str(store), *to, "--report", str(place)]) == 2
        assert f"{place} is in {folder}, which is published: name a place outside" in capsys.readouterr().err
    assert [path.name for path in folder.iterdir()] == ["K1"]


@pytest.mark.parametrize("wrong", ["a record", "the place of the site"])
def test_a_build_that_publishes_nothing_leaves_no_report_of_an_earlier_one(store, tmp_path, wrong):
    """Whoever sends by the report finds none, and so sends nothing."""
    report = tmp_path / "report.json"
    assert main(["build", str(store), "--jobs", "1", "--report", str(report)]) == 0
    assert json.loads(report.read_text("utf-8"))["changed"]
    if wrong == "a record":
        change(store, "K900", price="none")
        assert main(["build", str(store), "--jobs", "1", "--report", str(report)]) == 1
    else:
        assert main(["build", str(store), "--to", str(store / "vehicles"), "--report", str(report)]) == 1
    assert not report.exists()


@pytest.mark.parametrize("file", ["site.yaml", "vehicles/K900", "inventory.json"])
def test_a_file_that_is_not_a_report_is_never_overwritten(store, file, capsys):
    (store / "inventory.json").write_text("[]", "utf-8")
    before = files_of(store)
    assert main(["build", str(store), "--report", str(store / file)]) == 2
    assert f"{store / file} is there already and is no report of a build" in capsys.readouterr().err
    assert files_of(store) == before


def test_a_store_restored_from_its_backup_answers_every_address(store, tmp_path):
    """What can be made again need not be backed up: .cache, published and desk."""
    ever = pages_in(build(store))
    shutil.rmtree(store / "vehicles" / "K901")
    ever |= pages_in(build(store))
    left_out = shutil.ignore_patterns(".cache", "published", "desk")
    restored = shutil.copytree(store, tmp_path / "restored", ignore=left_out)
    assert ever <= pages_in(build(restored))
    again, before = files_of(restored / "published"), files_of(store / "published")
    assert {path: before[path] for path in again} == again
    assert {path.split("/")[0] for path in before.keys() - again.keys()} == {"inventory"}, (
        "rows for tabs that are open"
    )
    assert run_sitegen("ledger", restored, "verify").returncode == 0
