"""Bench `inventory`: the list of vehicles at size, as a shopper's browser meets it, and a full rebuild.

The list is made of so many generated vehicles by the very functions that a build calls. No picture is behind their
photos, and their own pages are made for the rebuild only. The browser itself slows the processor down (Chrome
DevTools Protocol, Emulation.setCPUThrottlingRate).
"""

from __future__ import annotations

import argparse
import gzip
import random
import tempfile
import time
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, CDPSession, Page, Response, expect, sync_playwright

from sitegen.condition.judging import judge
from sitegen.pages.composing import translator_for
from sitegen.pages.frame import page as composed
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.frame.theme import read_theme
from sitegen.pages.inventory.card import listing, listing_facts
from sitegen.pages.inventory.composing import inventory_exports, inventory_pieces
from sitegen.pages.inventory.page import for_sale
from sitegen.photos.planning.pictures import Candidate, Candidates, Picture, Pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.reference.vocabulary import read_vocabulary
from sitegen.records.quantities import Distance
from sitegen.records.store import PictureSettings, Store, StoredVehicle
from sitegen.shared_data import content_folder
from tests.builders import a_vehicle, some_settings, some_theme, write_store
from tests.conftest import run_sitegen_apart, serve
from tests.inventories import varied_vehicles
from tests.machine import find_browser

TODAY = date(2026, 11, 21)
SLOWER = 4
FILTERS = 60


def run(arguments: argparse.Namespace) -> None:
    """Print both tables."""
    with tempfile.TemporaryDirectory() as folder:
        made_in = make_list(Path(folder), arguments.vehicles)
        print_list(Path(folder), arguments.vehicles, made_in)
    print_rebuild(arguments.rebuilt)


def make_list(folder: Path, count: int) -> float:
    """Write the pages and files of the list, and all that they load; return the seconds of judging and composing."""
    settings = some_settings()
    vehicles = tuple(StoredVehicle(a_vehicle(**changes), folder, "") for changes in varied_vehicles(count))
    store = Store(folder, settings, None, vehicles, (), some_theme())
    figures, vocabulary = read_figures(content_folder(), settings.region), read_vocabulary(content_folder())
    a_year = Distance.of_miles(12_000)
    start = time.perf_counter()
    conditions = {stored.record.stock: judge(stored.record, figures, store.prices, a_year) for stored in vehicles}
    theme = read_theme(store)
    translator = translator_for("en", settings, figures)
    around = Surroundings(store, theme, translator, "", TODAY)
    pictures = some_pictures(store)
    renderer = theme.speaking(translator.catalog)
    records = for_sale(store, conditions)
    listings = [
        listing(record, listing_facts(record, conditions[record.stock], vocabulary, around)) for record in records
    ]
    pages: dict[str, bytes] = {}
    for piece in (*inventory_pieces(listings, pictures, around), *inventory_exports(listings, pictures, around)):
        match piece:
            case composed.Page():
                views = {"frame": piece.frame, **piece.views}
                pages[piece.address.file] = renderer.page(piece.template, **views)
            case composed.DataFile():
                assert isinstance(piece.content, bytes)
                pages[piece.file] = piece.content
    spent = time.perf_counter() - start
    for file, content in {**pages, **theme.assets}.items():
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_bytes(content)
    return spent


def some_pictures(store: Store) -> Pictures:
    """Return pictures for every photo, each named differently, as real ones are; no file is behind them."""
    dice = random.Random(1)

    def picture() -> Picture:
        stem = f"{dice.getrandbits(80):020x}"

        def candidate(width: int, extension: str) -> Candidate:
            return Candidate(width, width * 3 // 4, f"{stem}-{width}.{extension}", stem)

        sources = tuple(
            Candidates(f"image/{name}", tuple(candidate(width, name) for width in PictureSettings().widths))
            for name in ("avif",)
        )
        color = f"#{dice.getrandbits(24):06x}"
        return Picture(1600, 1200, sources, candidate(800, "jpg"), candidate(1600, "jpg"), color)

    photos = [(stored.record.stock, photo.file) for stored in store.vehicles for photo in stored.record.photos]
    return Pictures(store.folder, {photo: picture() for photo in photos})


@dataclass(frozen=True)
class Loaded:
    """What a page loaded besides pictures, in bytes as sent compressed by gzip at its usual level."""

    files: dict[str, int]

    @property
    def total(self) -> int:
        """Return the bytes of all files."""
        return sum(self.files.values())


def print_list(folder: Path, count: int, made_in: float) -> None:
    """Print the weight of the first load, how fast filters answer, and the memory that the tab takes."""
    with serve(folder) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_browser(), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 390, "height": 800})
        first = load(page, f"{address}/index.html")
        protocol = page.context.new_cdp_session(page)
        before = page_memory(browser, protocol)
        rows = load_rows(page)
        protocol.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        answers, wholes = (sorted(times) for times in zip(*answer_times(page), strict=True))
        after = page_memory(browser, protocol)
        browser.close()
    print("| of a list of | figure |")
    print("| --- | --- |")
    print(f"| vehicles | {count:,}, in {len(list((folder / 'inventory').iterdir()))} files of rows |")
    print(f"| judged and composed in | {made_in:.0f} s |")
    print(f"| first load, compressed, besides pictures | {first.total / 1000:.1f} kB in {len(first.files)} files |")
    print(f"| rows, compressed, loaded with the first wish | {rows.total / 1000:.0f} kB |")
    print(f"| a filter answers, processor {SLOWER} times slower: median | {median(answers):.0f} ms |")
    print(f"| 95 of 100 within | {answers[int(len(answers) * 0.95) - 1]:.0f} ms |")
    print(f"| slowest of {len(answers)} | {answers[-1]:.0f} ms |")
    print(f"| all cards of a page, 95 of 100 within | {wholes[int(len(wholes) * 0.95) - 1]:.0f} ms |")
    print(f"| script memory before and after | {before[0]:.0f} MB, {after[0]:.0f} MB |")
    print(f"| memory of the tab's process before and after (own share) | {before[1]:.0f} MB, {after[1]:.0f} MB |")


def load(page: Page, address: str) -> Loaded:
    """Open a page and return what it loaded."""
    responses: list[Response] = []
    page.on("response", lambda answer: responses.append(answer))
    page.goto(address)
    page.wait_for_load_state("networkidle")
    return Loaded(_weights(responses))


def load_rows(page: Page) -> Loaded:
    """Touch the form, so that the rows are loaded, and return their weight."""
    responses: list[Response] = []
    page.on("response", lambda answer: responses.append(answer))
    page.evaluate("document.querySelector('.filters').open = true")
    page.get_by_label("Words").focus()
    page.wait_for_load_state("networkidle")
    page.get_by_label("Model year from").fill("1990")
    expect(page.locator(".filters-count")).not_to_be_empty()
    return Loaded({name: weight for name, weight in _weights(responses).items() if "/inventory/" in name})


def _weights(responses: list[Response]) -> dict[str, int]:
    kept = [answer for answer in responses if answer.request.resource_type != "image" and answer.ok]
    bodies = {answer.url: answer.body() for answer in kept}
    return {
        url: len(body) if url.endswith(".woff2") else len(gzip.compress(body, 6, mtime=0))
        for url, body in bodies.items()
    }


def answer_times(page: Page) -> list[tuple[float, float]]:
    """Return milliseconds from a change of one field until the first cards of the answer are laid out, and all."""
    script = """async ([name, value]) => {
        const section = document.querySelector('.inventory')
        const field = document.querySelector(`.inventory-filters [name="${name}"]`)
        const shown = () => new Promise((resolve) => section.addEventListener('cards-shown', resolve, { once: true }))
        const first = shown()
        const start = performance.now()
        if (field.type === 'checkbox') field.checked = value
        else field.value = value
        field.dispatchEvent(new Event('input', { bubbles: true }))
        await first
        section.getBoundingClientRect()
        const times = [performance.now() - start]
        if (section.querySelector('.vehicle-cards').ariaBusy) await shown()
        section.getBoundingClientRect()
        return [...times, performance.now() - start]
    }"""
    dice = random.Random(2)
    offered = {
        "price": lambda: str(dice.randrange(3_000, 60_000, 500)),
        "miles": lambda: str(dice.randrange(20_000, 190_000, 1_000)),
        "tread": lambda: dice.choice(("", "4", "5", "6")),
        "body": lambda: dice.choice(("", "suv", "sedan", "pickup")),
        "drive": lambda: dice.choice(("", "awd", "fwd")),
        "words": lambda: dice.choice(("", "red", "brevik", "four silver", "nothing like it")),
        "sound": lambda: dice.random() < 0.5,
        "sort": lambda: dice.choice(("", "price", "tread", "upkeep", "defects")),
    }
    wishes = [(name, offered[name]()) for name in dice.choices(sorted(offered), k=FILTERS)]
    return [tuple(page.evaluate(script, [name, value])) for name, value in wishes]


def page_memory(browser: Browser, protocol: CDPSession) -> tuple[float, float]:
    """Return megabytes of script memory, and of the largest renderer process as its proportional share (Linux)."""
    protocol.send("HeapProfiler.collectGarbage")
    heap = protocol.send("Runtime.getHeapUsage")["usedSize"]
    system = browser.new_browser_cdp_session()
    processes = system.send("SystemInfo.getProcessInfo")["processInfo"]
    shares = [_share_of(process["id"]) for process in processes if process["type"] == "renderer"]
    return heap / 1e6, max(shares, default=0) / 1e6


def _share_of(process: int) -> int:
    """Return the proportional set size of a process in bytes. Source: proc_pid_smaps(5)."""
    lines = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith("Pss:"))


def print_rebuild(count: int) -> None:
    """Print how long the real command takes for a store of some size, first and again, and how much it publishes."""
    with tempfile.TemporaryDirectory() as folder:
        store = write_store(Path(folder) / "store", varied_vehicles(count), photo_size=(320, 240))
        spent = []
        for _ in range(2):
            start = time.perf_counter()
            done = run_sitegen_apart("build", store)
            spent.append(time.perf_counter() - start)
            assert done.returncode == 0, done.stderr
        published = [path for path in (store / "published").rglob("*") if path.is_file()]
        size = sum(path.stat().st_size for path in published)
    print()
    print("| full rebuild of | figure |")
    print("| --- | --- |")
    print(f"| vehicles | {count:,} |")
    print(f"| first, and again with nothing changed | {spent[0]:.0f} s, {spent[1]:.0f} s |")
    print(f"| each vehicle, again | {spent[1] / count * 1000:.0f} ms |")
    print(f"| published | {len(published):,} files, {size / 1e6:.0f} MB |")
