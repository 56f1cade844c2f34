"""Every file that the task of a vehicle's pages opens is in a trace. Source: Python's audit events (PEP 578)."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest

from sitegen.commands.shared.composition import BuildRequest, compose
from sitegen.commands.shared.terminal import Terminal
from sitegen.commands.tasks.pages import published_versions, similar_vehicles, vehicle_pages
from sitegen.commands.tasks.record import film_of, pictures_of
from sitegen.engine.engine import Engine
from sitegen.engine.task import INPUTS, task_named
from sitegen.ledger.version_history import PublishedVersion
from sitegen.shared_data import content_folder, themes_folder

TODAY = date(2026, 11, 21)
STOCK = "K900"
OPENED: list[str] = []


def note_opened(event: str, arguments: tuple[object, ...]) -> None:
    if event == "open" and isinstance(arguments[0], str):
        OPENED.append(arguments[0])


@pytest.fixture(scope="module", autouse=True)
def _listen() -> None:
    sys.addaudithook(note_opened)  # an audit hook stays for good, so it is added once


def places_of(engine: Engine, task: str, key: str) -> Iterator[Path]:
    """Yield every file and folder that the trace of a result names, and the traces of the results in it."""
    assert engine.is_valid(task_named(task), key)
    found = engine.store.find(task, key)
    for question, _ in found.trace if found is not None else ():
        kind, _, rest = question.partition(" ")
        name, _, own_key = rest.partition(" ")
        match kind:
            case "file" | "tree":
                yield engine.folder / rest
            case "input":
                yield from INPUTS[name].places(engine.folder, own_key)
            case "part":
                yield from INPUTS[name].places(engine.folder, own_key.rpartition(" ")[0])
            case "result" if engine.store.find(name, own_key) is not None:
                yield from places_of(engine, name, own_key)


def test_every_file_that_the_pages_of_a_vehicle_are_made_of_is_in_a_trace(store: Path):
    """On a store with prices, a page and a template of its own, in its second version."""
    template = store / "theme/pages/window-sheet.html"
    template.parent.mkdir(parents=True)
    template.write_text("Ours.", "utf-8")
    done = compose(BuildRequest(store), Terminal(io.StringIO(), io.StringIO()))
    assert done.material is not None, done.problems
    content = done.material.facts[STOCK]
    older = store / "revisions" / STOCK / "1/record.json"
    older.parent.mkdir(parents=True, exist_ok=True)
    older.write_bytes(content.replace(b"12900", b"12950"))
    versions = (
        PublishedVersion(1, sha256(older.read_bytes()).hexdigest(), TODAY, older.relative_to(store).as_posix()),
        PublishedVersion(2, sha256(content).hexdigest(), TODAY, None),
    )
    with Engine.opened(store, TODAY, pytest.fail, store / "cold") as engine:
        engine.give(pictures_of, STOCK, dict(done.material.pictures.of_vehicle(STOCK)))
        engine.give(film_of, STOCK, None)
        engine.give(published_versions, STOCK, versions)
        engine.give(similar_vehicles, STOCK, [])
        OPENED.clear()
        engine.result(vehicle_pages, STOCK)
        opened = {Path(path) for path in OPENED}
        places = set(places_of(engine, vehicle_pages.name, STOCK))
    shared = (store, content_folder(), themes_folder())
    inputs = {path for path in opened if any(path.is_relative_to(folder) for folder in shared) and path.is_file()}
    inputs = {path for path in inputs if not path.is_relative_to(store / "cold")}
    assert {store / "services.yaml", store / "pages/about.md", template, older} <= inputs
    assert not {path for path in inputs if not any(path.is_relative_to(place) for place in places)}
