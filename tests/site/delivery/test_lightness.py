"""Pages on a slow connection: nothing shifts while loading, and distant content is not loaded."""

from __future__ import annotations

import gzip
import re
import shutil
from collections.abc import Iterable

import pytest
from playwright.sync_api import Page, Response, Route

from tests.conftest import serve

PAGES = ("index.html", *(f"vehicles/{stock}/index.html" for stock in ("K102", "K104", "K107")))
LATE = re.compile(r"\.(avif|webp|jpg|woff2)$")
HEIGHT = 1600
"""Pixels of a tall window: few steps see the whole page. A shift of zero is zero in any window."""
AHEAD = 1250  # pixels

HELPERS = """
window.shifts = []
new PerformanceObserver((list) => {
  for (const { value, hadRecentInput, sources } of list.getEntries())
    if (!hadRecentInput) shifts.push([value, ...sources.map(({ node }) => (node?.outerHTML ?? '').slice(0, 120))])
}).observe({ type: 'layout-shift', buffered: true })

window.imagesWithin = (reach) => [...document.images].filter((image) => {
  const { top, bottom } = image.getBoundingClientRect()
  return image.checkVisibility() && bottom > -reach && top < innerHeight + reach
})
"""
PAINTED = "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
CANDIDATES = """(reach) => imagesWithin(reach).flatMap((image) => {
  const sources = [...image.parentElement.querySelectorAll(':scope > source')]
  const offered = sources.flatMap(({ srcset }) => srcset.split(', ').map((each) => each.split(' ')[0]))
  return [image.src, ...offered].map((address) => new URL(address, document.baseURI).href)
})"""
ARRIVED = "Promise.all([document.fonts.ready, ...imagesWithin(0).map((image) => image.decode())])"
SCROLL_ON = """() => {
  const before = scrollY
  scrollBy({ top: innerHeight, behavior: 'instant' })
  return scrollY > before
}"""


class SlowLine:
    """Holds pictures and the typeface back until they are let through."""

    def __init__(self, page: Page) -> None:
        self.asked: set[str] = set()
        self._held: list[Route] = []
        self._let_through: set[str] = set()
        page.route(LATE, self._decide)

    def _decide(self, route: Route) -> None:
        self.asked.add(route.request.url)
        if route.request.url in self._let_through:
            route.continue_()
        else:
            self._held.append(route)

    def let_through(self, addresses: Iterable[str]) -> None:
        """Let these come, whether or not they have been asked for already."""
        self._let_through |= set(addresses)
        coming = [route for route in self._held if route.request.url in self._let_through]
        self._held = [route for route in self._held if route not in coming]
        for route in coming:
            route.continue_()


def opened_slowly(page: Page, address: str) -> SlowLine:
    """Open a page, and see it with words alone, then with the typeface and the pictures in the window."""
    line = SlowLine(page)
    page.add_init_script(HELPERS)
    page.goto(address, wait_until="domcontentloaded")
    page.evaluate(PAINTED)
    line.let_through(address for address in line.asked if address.endswith(".woff2"))
    look(page, line)
    return line


def look(page: Page, line: SlowLine) -> None:
    """See what is in the window before its pictures come, and after."""
    page.evaluate(PAINTED)
    line.let_through(page.evaluate(CANDIDATES, 0))
    page.evaluate(ARRIVED)
    page.evaluate(PAINTED)


def shifts_to_the_end(page: Page, line: SlowLine) -> list[list[object]]:
    """Read on to the end; return all that has moved since the page was opened: how far, and what."""
    while page.evaluate(SCROLL_ON):
        look(page, line)
    line.let_through(line.asked)
    return page.evaluate("shifts")


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("path", PAGES)
def test_nothing_shifts_and_distant_pictures_do_not_load(open_page, site_address, path, width):
    page = open_page("about:blank", width=width, height=HEIGHT)
    line = opened_slowly(page, f"{site_address}/{path}")
    pictures = {address for address in line.asked if not address.endswith(".woff2")}
    assert pictures
    assert pictures <= set(page.evaluate(CANDIDATES, AHEAD))
    assert not shifts_to_the_end(page, line)


def test_the_shift_measure_notices_a_picture_without_size(open_page, demo_site_built, tmp_path):
    """So that a zero above is the page's doing, not that of a measure that sees nothing."""
    shutil.copy(next(demo_site_built.glob("pictures/*-640.avif")), tmp_path / "late.avif")
    (tmp_path / "index.html").write_text("<!doctype html><title>Late</title><img src=late.avif alt=''><p>Words</p>")
    page = open_page("about:blank", height=HEIGHT)
    with serve(tmp_path) as address:
        [[value, moved]] = shifts_to_the_end(page, opened_slowly(page, f"{address}/index.html"))
    assert value > 0
    assert moved == "<p>Words</p>"


@pytest.mark.parametrize("stock", ["K102", "K105", "K107"])
def test_a_vehicles_page_is_light(open_page, site_address, stock):
    """The project's own bounds: 45 kB of words, style and scripts as a host compresses them, 200 kB to begin with.

    What it begins with is all that a phone of the densest kind loads before anybody scrolls: the typeface and the
    first photo too. Compressed as by gzip (RFC 1952); 1 kB is 1000 bytes.
    """
    page = open_page("about:blank", width=390, height=844, device_scale_factor=3, is_mobile=True)
    page.add_init_script(HELPERS)
    answers: list[Response] = []
    page.on("response", lambda answer: answers.append(answer))
    page.goto(f"{site_address}/vehicles/{stock}/index.html")
    page.evaluate(PAINTED)
    page.evaluate(ARRIVED)
    weights = [(each.request.resource_type, weight_of(each)) for each in answers]
    assert {kind for kind, _ in weights} >= {"document", "stylesheet", "script", "font", "image"}
    assert sum(weight for kind, weight in weights if kind in ("document", "stylesheet", "script")) <= 45_000
    assert sum(weight for _, weight in weights) <= 200_000


def weight_of(answer: Response) -> int:
    """Return the bytes of an answer; what is compressed already is not compressed again."""
    body = answer.body()
    return len(body) if answer.request.resource_type in ("image", "font") else len(gzip.compress(body))
