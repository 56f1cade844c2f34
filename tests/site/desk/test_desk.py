"""The desk quotes the public page, works from a folder on a phone, and is complete."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from urllib.parse import parse_qs, urldefrag, urlsplit

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import expect

from sitegen.pages.desk.text_messages import message_length, without_costly
from tests.conftest import REPOSITORY, run_sitegen

AXE = (REPOSITORY / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
BASE = "https://www.ferrow-lane.example/vehicles-for-sale/"


@pytest.fixture(scope="module")
def desk(demo_store: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("desk") / "sales"
    done = run_sitegen("desk", demo_store, "--to", folder)
    assert done.returncode == 0, done.stderr
    return folder


@cache
def read(file: Path) -> BeautifulSoup:
    return BeautifulSoup(file.read_text("utf-8"), "html.parser")


@cache
def letters(text: str) -> str:
    """Return a text without its spaces: markup parts what is read as one."""
    return "".join(text.split()).casefold()


@cache
def words_of(page: BeautifulSoup) -> str:
    return letters(page.get_text())


OWN_WORDS = (
    "Yes.",
    "Our notes speak of rust:",
    "No, we found none.",
    "We noted none, but we did not look everywhere.",
    "Sí.",
    "Nuestras notas hablan de óxido:",
    "No, no encontramos.",
    "No anotamos, pero no miramos en todas partes.",
)
"""The desk's own answers to whether there is rust; all that follows them is the page's."""


def quoted(said: str) -> str:
    """Return what an answer quotes, without the desk's own words before it."""
    return said.removeprefix(next((words for words in OWN_WORDS if said.startswith(words)), ""))


def test_every_answer_quotes_the_page_and_links_to_its_place(desk: Path, demo_site_built: Path):
    pages = sorted((desk / "vehicles").glob("*.html"))
    assert len(pages) == 16
    for file in pages:
        answers = read(file).select("#answers ~ .desk-card")
        assert len(answers) == 8
        for answer in answers:
            said, link = quoted(answer.select("p")[0].get_text()), str(answer.select_one("p > a")["href"])
            address, anchor = urldefrag(link)
            page = read(demo_site_built / address.removeprefix(BASE) / "index.html")
            assert not anchor or page.find(id=anchor), link
            on_page = words_of(page)
            # Figures and their names are put together with signs of the desk's own; every piece is the page's.
            lacking = [
                piece
                for piece in re.split(r"[.:;()]\s|\s\(", f"{said} ")
                if letters(piece).strip(",.()") not in on_page
            ]
            assert not lacking, (file.name, lacking)


def test_every_message_shows_its_length_and_prepared_ones_fit_one_text(desk: Path):
    for file in sorted((desk / "vehicles").glob("*.html")):
        page = read(file)
        ready = page.select_one("#message").get_text()
        assert message_length(ready).parts == 1, ready
        assert not message_length(ready).costly, ready
        for link in page.select("a[href^='sms:']"):
            text = parse_qs(urlsplit(str(link["href"])).query)["body"][0]
            told = page.find(id=f"{link['data-of']}-length").get_text()
            length = message_length(text)
            assert [int(number) for number in re.findall(r"\d+", told)] == [length.used, length.room, length.parts]
            costly = page.find(id=f"{link['data-of']}-costly").get_text()
            fewer = message_length(without_costly(text)).parts
            assert costly.endswith(f": {fewer}.") if length.costly else not costly, costly


def test_to_do_items_link_to_their_vehicle_most_costly_kind_first(desk: Path):
    """K104 promises work; K103 has a dent without a photo from near; nothing is left to do for K107, which is sold.

    Four points of K102 stand without a promise: each is listed.
    """
    page = read(desk / "index.html")
    kinds = [kind.h3.get_text() for kind in page.select(".desk-kind")]
    assert kinds.index("Promised, and not yet done") < kinds.index("No close-up photo")
    assert {link["href"] for link in page.select(".desk-kind a")} >= {
        "vehicles/K104.en.html",
        "vehicles/K103.en.html",
    }
    lines = {one.get_text().split("Stock ")[1][:4]: one.get_text() for one in page.select(".desk-vehicle")}
    assert "Nothing to do" in lines["K107"]
    assert "4 things to do" in lines["K102"]
    listed = [one.get_text() for one in page.select(".desk-kind li") if "K102" in one.get_text()]
    assert len(listed) == 1
    stands = (
        "surface rust, left underbody rail",
        "cracked lens, left fog light",
        "wipers and washers",
        "engine leaks",
    )
    assert all(words in listed[0] for words in stands), listed


def test_the_desk_works_from_a_folder_on_a_phone(desk: Path, open_page):
    """Counting while a message is changed, sending to a number, timing the film; light and dark; nothing for axe."""
    for path, scheme in (("index.html", "light"), ("vehicles/K104.es.html", "dark")):
        page = open_page((desk / path).as_uri(), 390, 844, scheme, has_touch=True, is_mobile=True, bypass_csp=True)
        page.evaluate(AXE)
        violations = page.evaluate(
            """axe.run({preload: false, rules: {"color-contrast-enhanced": {enabled: true}}})
              .then(({violations}) => violations.map(({id, nodes}) => [id, nodes[0].html]))"""
        )
        assert not violations, path
        small = page.evaluate(
            """() => [...document.querySelectorAll("a, button, input, textarea")]
              .map((one) => [one.textContent, one.getBoundingClientRect()])
              .filter(([, {width, height}]) => height && (width < 48 || height < 48)).map(([name]) => name)"""
        )
        assert not small, path
        assert page.evaluate("document.documentElement.scrollWidth") == 390

    for text in ("á" + "a" * 70, "a" * 152 + "€" + "a" * 152, "a" * 66 + "🚙" + "a" * 66, "¿ñ? [é]"):
        length = message_length(text)
        page.locator("#message").fill(text)
        expect(page.locator("#message-length")).to_have_text(
            f"Caracteres: {length.used} de {length.room}. Mensajes: {length.parts}."
        )
        fewer = f"Mensajes sin ellas: {message_length(without_costly(text)).parts}."
        expect(page.locator("#message-costly")).to_contain_text(fewer if length.costly else "")
        expect(page.locator("#message-costly")).to_be_visible(visible=bool(length.costly))
    page.locator("#number").fill("+1 202-555-0142")
    expect(page.locator("a[data-of=message]")).to_have_attribute(
        "href", "sms:+12025550142?body=%C2%BF%C3%B1%3F%20%5B%C3%A9%5D"
    )

    page.locator("#film-start").tap()
    expect(page.locator("[aria-current=step] h3")).to_contain_text("Frente")
    expect(page.locator("#film-clock")).to_have_text(re.compile(r"0:\d\d"))
    page.locator("#film-next").tap()
    expect(page.locator("[aria-current=step]")).to_have_count(1)
    expect(page.locator("#film-now")).to_contain_text("2 de")


def test_the_desk_lists_defects_that_the_film_does_not_show(desk: Path):
    """K102 is filmed and every chapter of a defect is named by it; nothing else of the demo is filmed."""
    assert "name every defect" in read(desk / "vehicles" / "K102.en.html").get_text()
    page = read(desk / "vehicles" / "K104.en.html")
    assert "no film yet" in page.get_text()
    numbers = [item.get_text() for item in page.select(".desk-walk strong") if item.get_text()[0].isdigit()]
    assert [int(number.split(".")[0]) for number in numbers] == list(range(1, len(numbers) + 1))
    assert len(numbers) > 3


RUN_INLINE = """async () => {
  const refused = []
  addEventListener('securitypolicyviolation', ({ effectiveDirective }) => refused.push(effectiveDirective))
  const script = document.createElement('script')
  script.textContent = 'globalThis.ran = true'
  const style = document.createElement('style')
  style.textContent = 'body { visibility: hidden }'
  document.body.append(script, style)
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))
  return [globalThis.ran ?? false, getComputedStyle(document.body).visibility, refused.sort()]
}"""


def test_desk_and_bay_pages_run_no_inline_script_and_apply_no_inline_style(desk: Path, demo_store: Path, open_page):
    """Source: Content Security Policy Level 3, 6.7.3, on a page that is opened from a folder."""
    assert run_sitegen("bay", demo_store, "--to", desk.parent / "bay").returncode == 0
    for file in (desk / "index.html", desk / "vehicles" / "K102.en.html", desk.parent / "bay" / "index.html"):
        page = open_page(file.as_uri(), 390, 844)
        assert page.evaluate(RUN_INLINE) == [False, "visible", ["script-src-elem", "style-src-elem"]], file
        assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith('"Atkinson'), "styles apply"
