"""A vehicle's sheets and its condition page, printed to PDF by Chromium and read by poppler."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
import yaml
import zxingcpp
from PIL import ImageOps
from playwright.sync_api import expect

from tests.builders import write_store
from tests.conftest import REPOSITORY, run_sitegen
from tests.site.access.test_accessibility import AXE, LEVELS, RUN
from tests.site.pages import all_pages
from tests.site.print.printing import (
    has_color,
    has_ink_near_an_edge,
    pages_of,
    photos_of,
    pictures_of,
    plain,
    text_of,
    words_near_an_edge,
)

VEHICLES = REPOSITORY / "demo_site" / "vehicles"
STOCKS = sorted(folder.name for folder in VEHICLES.iterdir())
PAPERS = ("Letter", "A4")
SHEETS = ("window-sheet.html", "disclosure-sheet.html", "mechanic-sheet.html")
BASE_ADDRESS = yaml.safe_load((REPOSITORY / "demo_site" / "site.yaml").read_text("utf-8"))["base_address"]

# Printers leave about 1/4 in free at each edge (common practice): 18 points, or 18 dots at 72 to the inch.
EDGE = 18

Print = Callable[..., Path]


@pytest.fixture
def printed(open_page, site_at_root, tmp_path) -> Print:
    """Print a page of the demo site, `printed("vehicles/K101/index.html", "A4")`, and return the PDF."""

    def print_page(path: str, paper: str, **options: Any) -> Path:
        pdf = tmp_path / f"{path.replace('/', '-')}-{paper}.pdf"
        open_page(f"{site_at_root}/{path}", **options).pdf(path=pdf, format=paper)
        return pdf

    return print_page


def record_of(stock: str) -> dict[str, Any]:
    """Return what a record says today: of each key, what was last noted. The demo's visits give each key whole."""
    files = [VEHICLES / stock / "inspection.yaml", *sorted((VEHICLES / stock / "visits").glob("*.yaml"))]
    record: dict[str, Any] = {}
    for file in files:
        record |= yaml.safe_load(file.read_text("utf-8"))
    return record


def english(text: str | dict[str, str]) -> str:
    """Return a text of a record, which may be one text, or one in each language."""
    return plain(text["en"] if isinstance(text, dict) else text)


def places_to_sign(text: str) -> bool:
    """Tell whether there are two of each: one side signs for the store, the other is the buyer."""
    return all(len(re.findall(rf"\b{label}\b", text)) == 2 for label in ("Name", "Signature", "Date"))


def assert_whole(pdf: Path) -> None:
    """Nothing is cut: every word is on the paper, and nothing reaches where printers do not print."""
    assert not list(words_near_an_edge(pdf, EDGE))
    assert not any(has_ink_near_an_edge(picture, EDGE) for picture in pictures_of(pdf, 72))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("stock", STOCKS)
def test_a_window_sheet_is_one_page_with_all_its_facts(printed, stock, paper):
    pdf = printed(f"vehicles/{stock}/window-sheet.html", paper, scheme="dark")
    assert pages_of(pdf) == 1
    assert_whole(pdf)
    assert not any(has_color(picture) for picture in pictures_of(pdf, 72))
    text = text_of(pdf)
    assert f"Stock {stock}" in text
    assert record_of(stock)["vin"] in text
    assert "/32 in" in text
    assert "not a safety certificate" in text


def test_in_spanish_too_a_window_sheet_is_one_page(open_page, site_at_root, tmp_path):
    """Spanish takes more room (common practice: 20 to 30 %). One with a promise, one that quotes English, one not all
    measured."""
    page = open_page("about:blank")
    for stock in ("K104", "K107", "K108"):
        page.goto(f"{site_at_root}/es/vehicles/{stock}/window-sheet.html")
        page.pdf(path=tmp_path / "window.pdf", format="Letter")
        assert pages_of(tmp_path / "window.pdf") == 1
        assert_whole(tmp_path / "window.pdf")


def test_the_qr_code_on_paper_leads_to_the_vehicle(printed):
    """ISO/IEC 18004, read from the printed sheet: level M, and 4 modules of empty paper around it."""
    (picture,) = pictures_of(printed("vehicles/K104/window-sheet.html", "Letter"), 300)
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.text == f"{BASE_ADDRESS}vehicles/K104/"
    assert code.ec_level == "M"
    left, top = code.position.top_left.x, code.position.top_left.y
    side = code.position.bottom_right.x - left
    module = side / 37  # these addresses have 64 bytes, which need version 5: 37 modules
    assert module / 300 * 25.4 == pytest.approx(1, abs=0.05)  # millimetres; at least 0.4 mm is common practice
    quiet = round(4 * module)
    around = picture.convert("L").crop((left - quiet, top - quiet, left + side + quiet, top + side + quiet))
    assert min(ImageOps.invert(around).getbbox()[:2]) >= quiet - module / 2


def listed(record: dict[str, Any], key: str) -> list[dict[str, Any]]:
    """Return the entries of a list that a record may leave out, or say to be none."""
    return [] if record.get(key, "none") == "none" else record[key]


def done(defect: dict[str, Any]) -> Any:
    """Return what was done about a defect, in the store's own words; that it was left has words of the site's."""
    return "" if defect.get("done") == "left as it is" else defect.get("done", "")


@pytest.mark.parametrize(
    ("stock", "paper"), [*((stock, "Letter") for stock in STOCKS), ("K104", "A4"), ("K106", "A4")]
)
def test_a_disclosure_sheet_has_every_disclosure_and_lines_to_sign(printed, stock, paper):
    pdf = printed(f"vehicles/{stock}/disclosure-sheet.html", paper)
    assert_whole(pdf)
    text, record = text_of(pdf), record_of(stock)
    told = [words for defect in listed(record, "defects") for words in (defect["words"], done(defect))]
    told += [promise["what"] for promise in listed(record, "before_delivery")]
    told += [addition["what"] for addition in listed(record, "additions")]
    told += [work["what"] for work in record.get("work_done", ())]
    assert not [words for words in told if english(words) not in text]
    assert places_to_sign(text)
    # At the top of every page, and once among the facts.
    assert text.count(record["vin"]) == pages_of(pdf) + 1
    assert re.search(rf"\b{pages_of(pdf)} ?/ ?{pages_of(pdf)}\b", text)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_mechanics_sheet_is_two_pages_and_tells_what_was_found_measured_and_not_checked(
    open_page, site_at_root, tmp_path, paper
):
    """In Spanish too, which takes more room (common practice: 20 to 30 %). Each defect has one small photo.

    A4 is longer than Letter and narrower: what it might not hold are the longest two, in Spanish.
    """
    page = open_page("about:blank")
    everything = [(folder, stock) for folder in ("es/", "") for stock in STOCKS]
    for folder, stock in everything if paper == "Letter" else (("es/", "K102"), ("es/", "K104")):
        page.goto(f"{site_at_root}/{folder}vehicles/{stock}/mechanic-sheet.html")
        pdf = tmp_path / f"{folder[:2]}{stock}-{paper}.pdf"
        page.pdf(path=pdf, format=paper)
        assert pages_of(pdf) <= 2, (folder, stock)
        assert not list(words_near_an_edge(pdf, EDGE))
        if folder:
            continue
        text, record = text_of(pdf), record_of(stock)
        assert text.count(record["vin"]) == pages_of(pdf) + 1  # at the top of every page, and once among the facts
        defects = listed(record, "defects")
        checks = [check if isinstance(check, dict) else {"finding": check} for check in record["checks"].values()]
        told = [words for defect in defects for words in (defect["words"], done(defect))]
        told += [check["note"] for check in checks if check["finding"] != "good" and "note" in check]
        assert not [words for words in told if english(words) not in text]
        missing = sum(check["finding"] == "not checked" for check in checks)
        assert page.locator(".mechanic-sheet-unchecked li").count() >= missing
        assert photos_of(pdf) == sum("photos" in defect for defect in defects)
        tires = [tire for tire in record["tires"].values() if isinstance(tire, dict)]
        assert all(depth in text for tire in tires for depth in tire.get("tread", {}).values())
        assert ("not measured" in text) >= any("tread" not in tire for tire in tires)
        assert all(words in text for words in ("never on a jack alone", "asbestos", "high voltage", "come first"))
    (code,) = zxingcpp.read_barcodes(pictures_of(pdf, 200)[0])
    assert code.text == f"{BASE_ADDRESS}{folder}vehicles/{stock}/"
    page.emulate_media(media="print")
    shown = page.locator(".mechanic-sheet :is(.mechanic-sheet-unchecked, .mechanic-sheet-list) li")
    expect(page.locator(".sheet-tick:visible")).to_have_count(shown.count())
    assert not any(has_ink_near_an_edge(picture, EDGE) for picture in pictures_of(pdf, 72))


def test_on_sheet_and_printed_page_each_defect_has_its_number(printed, demo_site_built):
    stock = "K104"
    page = all_pages(demo_site_built)[f"vehicles/{stock}/index.html"].soup
    sheet = text_of(printed(f"vehicles/{stock}/disclosure-sheet.html", "Letter"))
    whole = text_of(printed(f"vehicles/{stock}/index.html", "Letter"))
    cards = page.select("article.defect")
    assert len(cards) == len(listed(record_of(stock), "defects"))
    for card in cards:
        number, title = card.select_one(".defect-number").get_text(), card.h4.find_all(string=True, recursive=False)
        named = re.escape(plain("".join(title)))
        assert re.search(rf"\b{number} [A-Z][a-z ]+: {named}", sheet)
        assert re.search(rf"\b{number} {named}", whole)


@pytest.mark.parametrize(("stock", "paper"), [("K102", "Letter"), ("K107", "A4")])
def test_a_condition_page_is_printed_whole_without_what_only_works_on_a_screen(printed, stock, paper):
    """What is folded on the screen is open on paper; a dark scheme is printed in black on white."""
    pdf = printed(f"vehicles/{stock}/index.html", paper, scheme="dark")
    assert_whole(pdf)
    assert 4 <= pages_of(pdf) <= 6
    text = text_of(pdf)
    assert text.count(record_of(stock)["tires"]["left_front"]["size"]) >= 3  # in the table, which is folded
    for words in ("On this page", "What is", "Ask about this", "Link"):
        assert words not in re.sub("What is (wrong|next)", "", text)
    first, *others = (picture.convert("L") for picture in pictures_of(pdf, 72))
    assert {page.getpixel((30, 5)) for page in (first, *others)} == {255}
    # Between the first photo, which keeps to the left, and the words beside it the paper is white but for the title.
    beside = [first.getpixel((round(0.42 * first.width), row)) for row in range(round(0.4 * first.height))]
    assert sum(light > 250 for light in beside) > 0.9 * len(beside)


def test_rust_is_described_in_words_and_by_the_degree_of_the_standard(demo_site_built):
    """ISO 4628-3: degree Ri 3 is about 1 % of the area, Ri 4 about 8 %; 3 % is nearer to Ri 3."""
    pages = all_pages(demo_site_built)
    for name in ("index.html", "disclosure-sheet.html"):
        words = plain(pages[f"vehicles/K102/{name}"].soup.get_text())
        assert plain("on about 3\u00a0% of the painted area.") in words
    page = plain(pages["vehicles/K102/index.html"].soup.get_text())
    assert plain("That is nearest to degree Ri 3 of ISO 4628-3") in page


def test_every_printed_fingerprint_is_that_of_the_published_facts(demo_site_built):
    """FIPS 180-4, by Python's own library, over the file as it was published."""
    pages = all_pages(demo_site_built)
    for stock in STOCKS:
        expected = sha256((demo_site_built / "vehicles" / stock / "record.json").read_bytes()).hexdigest()
        for name in ("index.html", "disclosure-sheet.html"):
            (shown,) = pages[f"vehicles/{stock}/{name}"].soup.select(".fingerprint")
            assert shown.get_text().replace(" ", "") == expected


def test_pages_sheets_and_feed_carry_the_line_of_the_ledger(demo_store):
    """FIPS 180-4 over the file of the ledger as it lies there, by Python's own library."""
    texts = (demo_store / "ledger.jsonl").read_bytes().splitlines()
    of_vehicles = [text for text in texts if json.loads(text)["stock"]]
    assert [json.loads(text)["stock"] for text in of_vehicles] == STOCKS
    pages = all_pages(demo_store / "published")
    for text in of_vehicles:
        for page in json.loads(text)["pages"]:
            lines = [shown.get_text() for shown in pages[page].soup.select(".ledger-line")]
            carries = page.endswith(("index.html", "disclosure-sheet.html"))
            assert lines == ([sha256(text).hexdigest()] if carries else []), page
    feed = (demo_store / "published" / "feed.xml").read_text("utf-8")
    assert sha256(of_vehicles[-1]).hexdigest() in feed


def test_sheets_are_reached_from_the_vehicle_and_lead_back_but_search_programs_do_not_list_them(demo_site_built):
    pages, listed = all_pages(demo_site_built), (demo_site_built / "sitemap.xml").read_text("utf-8")
    for stock in STOCKS:
        reached = {link["href"] for link in pages[f"vehicles/{stock}/index.html"].soup.select("#papers a")}
        assert {*SHEETS, "record.json"} <= reached
        for name in SHEETS:
            soup = pages[f"vehicles/{stock}/{name}"].soup
            assert soup.select("main a[href='index.html']")
            assert soup.select("meta[name=robots][content=noindex]")
            assert name not in listed


def test_a_sheet_is_accessible_on_a_phone(open_page, site_at_root):
    """axe-core, as for every page; WCAG 2.2, 1.4.10 Reflow, at 320 CSS pixels."""
    page = open_page("about:blank", width=320, height=640, scheme="dark")
    page.add_init_script(AXE)
    for name in SHEETS:
        page.goto(f"{site_at_root}/vehicles/K104/{name}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        faults, _ = page.evaluate(RUN, LEVELS)
        assert not faults, name


MANY = 60
LONGEST: dict[str, Any] = {
    "stock": "K900-0123456789-0123456789-0123456789",
    "status": "on hold",
    "price": "1234567.50",
    "vehicle": {"make": "Brevik", "model": "Fjordline Grand Touring", "trim": "Long Range with the Winter Package"},
    "sale_terms": {"warranty": "Engine and transmission for 3 months or 3,000 miles. " * 6},
    "checks": ...,
    "work_done": [
        {
            "what": "New tires, new pads.",
            "on": "2026-10-05",
            "renews": [
                f"{kind}.{wheel}_{axle}"
                for kind in ("tires", "brakes")
                for wheel in ("left", "right")
                for axle in ("front", "rear")
            ],
        }
    ],
    "before_delivery": [
        {"what": "Mend it, and show it to you before you sign. " * 5, "settles": ["flaw-3"], "by": "repaired"}
    ],
    "defects": [
        {
            "id": f"flaw-{number}",
            "kind": "scratch",
            "where": {
                "station": ("front", "rear", "cabin")[number % 3],
                "part": f"panel {number}, near its lower edge",
            },
            "size": "12 cm",
            "affects": "safety" if number == 3 else ("looks", "function")[number % 2],
            "words": f"Words about flaw {number} that run on for a while. " * 4,
        }
        for number in range(1, MANY + 1)
    ],
}


def test_the_longest_record_keeps_to_one_window_sheet_and_parts_no_defect_on_the_other(open_page, tmp_path):
    store = write_store(tmp_path / "store", [LONGEST])
    built = run_sitegen("build", store)
    assert built.returncode == 0, built.stderr
    folder = store / "published" / "vehicles" / LONGEST["stock"]
    window = open_page((folder / "window-sheet.html").as_uri())
    disclosure = open_page((folder / "disclosure-sheet.html").as_uri())
    for paper in PAPERS:
        window.pdf(path=tmp_path / f"window-{paper}.pdf", format=paper)
        assert pages_of(tmp_path / f"window-{paper}.pdf") == 1
        assert_whole(tmp_path / f"window-{paper}.pdf")
        printed = tmp_path / f"disclosure-{paper}.pdf"
        disclosure.pdf(path=printed, format=paper)
        assert_whole(printed)
        pages = [text_of(printed, page) for page in range(1, pages_of(printed) + 1)]
        for defect in LONGEST["defects"]:
            title, words = f"scratch, {defect['where']['part']}", plain(defect["words"])
            assert sum(title in page.lower() and words in page for page in pages) == 1
        assert sum(places_to_sign(page) for page in pages) == 1
