"""`sitegen desk`: to-do items in order, and a folder that is replaced whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from tests.conftest import run_sitegen


def everything_in(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_to_do_items_are_ordered_by_what_costs_a_sale(store, edit):
    """One vehicle has a fault; the other is held, promises, was inspected long ago."""
    edit("vehicles/K901/inspection.yaml", "affects: function", "affects: nothing")
    edit("vehicles/K900/inspection.yaml", "affects: function", "affects: safety")
    edit("vehicles/K900/inspection.yaml", "work_done:", "before_delivery:\n- what: New wiper blades.\nwork_done:")
    edit("site.yaml", "name:", "stale_after_days: 30\nname:")
    done = run_sitegen("desk", store)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    folder = store / "desk" / "sales"
    page = BeautifulSoup((folder / "index.html").read_text("utf-8"), "html.parser")
    told = [heading.get_text() for heading in page.select(".desk-kind h3")]
    expected = [
        "A fault in the record",
        "Held back",
        "Promised, and not yet done",
        "The inspection is old",
        "Recalls were not looked up lately",
    ]
    assert told[: len(expected)] == expected
    assert "affects" in page.select_one(".desk-kind").get_text()
    assert not list(folder.glob("vehicles/*"))


def test_the_desk_is_replaced_whole_or_not_at_all(store, edit):
    assert run_sitegen("desk", store).returncode == 0
    folder = store / "desk" / "sales"
    before = everything_in(folder)
    (store / "theme" / "desk").mkdir(parents=True)
    (store / "theme" / "desk" / "vehicle.html").write_text("{{ desk.nothing_of_the_kind }}")
    done = run_sitegen("desk", store)
    assert done.returncode == 1
    assert "theme/desk/vehicle.html:1" in done.stderr
    assert everything_in(folder) == before
    assert [path.name for path in folder.parent.iterdir()] == ["sales"]
    (store / "theme" / "desk" / "vehicle.html").unlink()
    edit("vehicles/K901/inspection.yaml", "status: for sale", "status: preparing")
    assert run_sitegen("desk", store).returncode == 0
    assert [path for path in before if path.startswith("vehicles/K901")]
    assert not [path for path in everything_in(folder) if path.startswith("vehicles/K901")]


@pytest.mark.parametrize(("place", "told"), [("published/desk", "public, and"), ("pages", "did not write")])
def test_a_folder_that_is_not_a_desk_is_refused(store, place, told):
    before = everything_in(store / "pages")
    done = run_sitegen("desk", store, "--to", store / place)
    assert done.returncode == 2
    assert told in done.stderr
    assert everything_in(store / "pages") == before
