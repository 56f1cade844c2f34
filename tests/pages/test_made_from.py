"""A page changes only if one of its declared sources changes."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pytest

from sitegen.commands.shared.composition import Wish, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.pages.frame.page import Source, SourceKind
from sitegen.pages.site import Site

FOR_SALE, SOLD = "K101", "K107"


@pytest.fixture(scope="module")
def two_vehicles(demo_store: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store of two of the demo's vehicles, one for sale and one sold, with the pictures of the demo store."""
    store = tmp_path_factory.mktemp("two") / "store"
    shutil.copytree(demo_store, store, ignore=shutil.ignore_patterns("published", "ledger.jsonl", "revisions"))
    for vehicle in (store / "vehicles").iterdir():
        if vehicle.name not in (FOR_SALE, SOLD):
            shutil.rmtree(vehicle)
    return store


@pytest.fixture(scope="module")
def before(two_vehicles: Path) -> Site:
    return composed(two_vehicles)


def composed(store: Path) -> Site:
    terminal = Terminal(io.StringIO(), io.StringIO())
    done = compose(Wish(store), terminal)
    assert done.site is not None, done.problems
    return done.site


CHANGES = {
    Source(SourceKind.RECORD, FOR_SALE): (f"vehicles/{FOR_SALE}/inspection.yaml", "price: 1", "price: 2"),
    Source(SourceKind.RECORD, SOLD): (
        f"vehicles/{SOLD}/inspection.yaml",
        "Changed the engine oil and filter.",
        "Changed the engine oil.",
    ),
    Source(SourceKind.SETTINGS): ("site.yaml", "name: ", "name: The "),
    Source(SourceKind.PRICES): ("services.yaml", "engine_oil: 65-95", "engine_oil: 66-95"),
    Source(SourceKind.OWN_PAGES): ("pages/about.md", "\n\n", "\n\nOne more line.\n\n"),
}


@pytest.mark.parametrize("source", CHANGES, ids=lambda source: f"{source.kind} {source.of}".strip())
def test_only_pages_that_name_a_changed_source_change(two_vehicles: Path, before: Site, source: Source):
    file, old, new = CHANGES[source]
    path = two_vehicles / file
    written = path.read_text("utf-8")
    assert old in written
    path.write_text(written.replace(old, new, 1), "utf-8")
    try:
        after = composed(two_vehicles)
    finally:
        path.write_text(written, "utf-8")
    changed = {page for page in before.made_from if before.pages[page] != after.pages.get(page)}
    assert changed, "the change shows nowhere"
    every_one = Source(source.kind)
    assert not {page for page in changed if before.made_from[page].isdisjoint({source, every_one})}


def test_an_unchanged_record_gives_an_unchanged_page_on_any_day(
    two_vehicles: Path, before: Site, monkeypatch: pytest.MonkeyPatch
):
    """A page is read months after it was built, so it counts from the day of the odometer reading. Only a vehicle
    that is sold fades from search engines with time; its page says that it is made from the day."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1893456000")  # January 1, 2030
    after = composed(two_vehicles)
    changed = {page for page in before.made_from if before.pages[page] != after.pages.get(page)}
    assert changed == {page for page in before.made_from if Source(SourceKind.DAY) in before.made_from[page]}
    assert changed == {f"{folder}vehicles/{SOLD}/index.html" for folder in ("", "es/")}


def test_every_page_names_its_sources(before: Site):
    """Pages of one vehicle hang on no other vehicle, but for one that is sold and leads to those near it."""
    pages = {page for page in before.pages if page.endswith(".html")}
    assert set(before.made_from) == pages
    own = before.made_from[f"vehicles/{FOR_SALE}/index.html"]
    assert {source.of for source in own if source.kind is SourceKind.RECORD} == {FOR_SALE}
    assert {source.of for source in own if source.kind is SourceKind.WORDS} == {"en"}
    assert Source(SourceKind.RECORD) in before.made_from[f"es/vehicles/{SOLD}/index.html"]
