"""`sitegen build --leave-out-faulty`: one mistake costs one vehicle its news, and nobody a page."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.commands import main
from sitegen.ledger.ledger_files import read_ledger

K901 = "vehicles/K901/inspection.yaml"


def everything(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def entries_of(sitemap: str) -> dict[str, str]:
    """Return what a sitemap says of each page, by the page's address."""
    return {entry.partition("</loc>")[0]: entry for entry in sitemap.split("<loc>")[1:]}


def mistype(store: Path) -> None:
    file = store / K901
    file.write_text(file.read_text("utf-8").replace("reading: 64,000 mi", "reading: sixty"), "utf-8")


def forget(store: Path) -> None:
    """What was disclosed is gone, without a word of why."""
    file = store / K901
    text = file.read_text("utf-8")
    file.write_text(re.sub(r"(?ms)^defects:.*?(?=^\w)", "", text), "utf-8")


def spoil_template(store: Path) -> None:
    """The store's own window sheet takes a part of the view that there is not, for one vehicle only."""
    sheet = store / "theme/pages/window-sheet.html"
    sheet.parent.mkdir(parents=True, exist_ok=True)
    sheet.write_text("One\n{% if 'K901' in page|string %}{{ page.nothing_of_the_kind.at_all }}{% endif %}\n", "utf-8")


FAULTS: dict[str, Callable[[Path], object]] = {
    "a value that cannot be read": mistype,
    "no YAML": lambda store: (store / K901).write_text("a: [", "utf-8"),
    "no inspection": lambda store: (store / K901).unlink(),
    "a photo that is missing": lambda store: (store / "vehicles/K901/photos/front.jpg").unlink(),
    "a photo that is none": lambda store: (store / "vehicles/K901/photos/front.jpg").write_bytes(b"none"),
    "a disclosed defect that is gone": forget,
    "a template that raises for its record": spoil_template,
}


@pytest.mark.parametrize("fault", FAULTS)
def test_the_others_are_published_and_the_faulty_one_keeps_its_last_good_page(store, edit, capsys, fault):
    assert main(["build", str(store)]) == 0
    before = everything(store / "published")
    FAULTS[fault](store)
    edit("vehicles/K900/inspection.yaml", "price: 13450", "price: 12990")
    assert main(["build", str(store)]) == 1
    assert everything(store / "published") == before
    report = store.parent / "report.json"
    for _ in range(2):  # and still after another such build
        capsys.readouterr()
        assert main(["build", str(store), "--leave-out-faulty", "--report", str(report)]) == 1
        told = capsys.readouterr()
        assert "vehicles/K901/" in told.err
        assert "On no list until corrected; their last published pages stay: K901\n" in told.out
        assert json.loads(report.read_text("utf-8"))["left_out"] == ["K901"]
        after = everything(store / "published")
        own = {path for path in before if path.startswith("vehicles/K901/")}
        assert len(own) > 3
        assert {path: after.get(path) for path in own} == {path: before[path] for path in own}
        assert b"12,990" in after["vehicles/K900/index.html"]
        lists = {
            path: text for path, text in after.items() if path.startswith(("index.html", "inventory.", "browse/"))
        }
        assert {"index.html", "inventory.json", "inventory.csv"} <= lists.keys()
        assert [path for path, text in lists.items() if b"K901" in text] == []
        assert all(b"K901" in before[path] for path in ("index.html", "inventory.json", "inventory.csv"))
        was, now = (entries_of(site["sitemap.xml"].decode()) for site in (before, after))
        assert now.keys() == was.keys(), "no search engine is to forget a page that still answers"
        changed = {address for address in was if now[address] != was[address]}
        assert {address.rpartition("vehicles-for-sale/")[2] for address in changed} == {"", "vehicles/K900/"}
        for path in own & {"vehicles/K901/index.html"}:
            named = re.findall(r"\.\./\.\./((?:pictures|assets)/[^ ,\"#]+)", after[path].decode())
            assert [name for name in named if name not in after] == []
            assert len(named) > 5
    lines, problems = read_ledger(store)
    assert problems == ()
    assert [line.changed for line in lines if line.stock == "K901"] == [("first published",)]


def test_an_error_outside_of_all_vehicles_stops_the_build(store, edit):
    mistype(store)
    edit("site.yaml", "currency: USD", "currency: dollars")
    assert main(["build", str(store), "--leave-out-faulty"]) == 1
    assert not (store / "published").exists()


def test_a_faulty_vehicle_that_was_never_published_has_no_page(store, capsys):
    mistype(store)
    assert main(["build", str(store), "--leave-out-faulty"]) == 1
    told = capsys.readouterr().out
    assert "Not published until corrected: K901\n" in told
    assert "stays" not in told
    assert (store / "published/vehicles/K900/index.html").is_file()
    assert not (store / "published/vehicles/K901").exists()
