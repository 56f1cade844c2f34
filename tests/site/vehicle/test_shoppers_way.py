"""A shopper's way through the site on a phone: decide in a minute, look closer, ask, compare, print for the mechanic.

Each story goes by what a person sees and taps. The screen is that of a common phone, 390 by 844, the demonstration's
notice aside; messages by the standards of their schemes (RFC 5724 sms, RFC 6068 mailto, RFC 3966 tel).
"""

from __future__ import annotations

import re
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.site.print.printing import pages_of, text_of

PHONE = {"width": 390, "height": 844, "reduced_motion": "reduce", "has_touch": True}
SCREEN = 844


def end_of(part: Locator) -> float:
    box = part.bounding_box()
    assert box is not None
    return box["y"] + box["height"]


A_WARNING = 60
"""Height that what must be said before anything else may take beyond the first screen, in CSS pixels."""


def own_screen(page: Page) -> float:
    """Return where the first screen ends for a store that is not invented: below the notice that says so."""
    return SCREEN + end_of(page.locator(".demo-notice"))


@pytest.mark.parametrize("language", ["", "es/"])
@pytest.mark.parametrize(("width", "screen"), [(390, SCREEN), (320, 1000)])
def test_the_deciding_facts_are_on_the_first_screen(open_page, site_at_root, width, screen, language):
    """Of every vehicle that is for sale, on a phone; a narrow one has little more to scroll.

    The key to the hatching keeps clear of the rulers above it, and of the line below.
    """
    page = open_page("about:blank", **{**PHONE, "width": width})
    for stock in ("K101", "K102", "K103", "K104", "K105", "K106", "K108"):
        page.goto(f"{site_at_root}/{language}vehicles/{stock}/index.html")
        page.evaluate("document.fonts.ready")
        room = screen + (A_WARNING if page.locator(".first-words").count() else 0)
        assert end_of(page.locator(".first-lines")) - end_of(page.locator(".demo-notice")) <= room, stock
        key = page.locator(".first-key")
        box = key.bounding_box()
        assert box["y"] - max(end_of(body) for body in page.locator(".first-lowest .ruler-body").all()) >= 4, stock
        assert end_of(page.locator(".first-lowest")) - end_of(key) >= 1, stock


@pytest.mark.parametrize(
    ("language", "hatched", "title", "brand", "likely", "card"),
    [
        (
            "",
            "Hatched: at or below the inspection figure.",
            "The title shows no brand such as “salvage”.",
            "The title, read on September 8, 2026, shows no brand such as salvage or flood.",
            r"together most likely between \$[\d,]+ and \$[\d,]+",
            ["bank", "card"],
        ),
        (
            "es/",
            "Zona con rayas: en el límite o por debajo.",
            "Título sin marcas como «salvamento».",
            "El título, visto el 8 de septiembre de 2026, no lleva marcas como salvamento o inundación.",
            r"en total, lo más probable, entre \$[\d,]+ y \$[\d,]+",
            ["tarjeta", "bancaria"],
        ),
    ],
)
def test_trade_words_are_explained_where_they_occur(
    open_page, site_address, language, hatched, title, brand, likely, card
):
    """What the hatching, a title without brand, a chance and the outline beside a flaw are."""
    page = open_page(f"{site_address}/{language}vehicles/K102/index.html", **PHONE)
    first = page.locator(".first-lines")
    expect(first.locator(".ruler-limit").first).to_be_visible()
    expect(first.get_by_text(hatched)).to_be_visible()
    expect(first.locator(".ruler-other")).to_have_count(0)
    expect(first).to_contain_text(title)
    expect(page.locator("#papers")).to_contain_text(brand)
    for drawing in page.locator(".defect-size").all():
        words = drawing.locator("text")
        expect(words).to_have_text(card)
        frame = drawing.bounding_box()
        for box in (word.bounding_box() for word in words.all()):
            assert frame["x"] <= box["x"]
            assert box["x"] + box["width"] <= frame["x"] + frame["width"]
            assert frame["y"] <= box["y"]
            assert box["y"] + box["height"] <= frame["y"] + frame["height"] + 1
    page.goto(f"{site_address}/{language}index.html")
    expect(page.locator(".vehicle-card").first).to_contain_text(re.compile(likely))


@pytest.mark.parametrize("language", ["", "es/"])
def test_defect_counts_do_not_touch(open_page, site_address, language):
    """Outlines are how an effect is told: two that touch look like one, side by side or one above the other."""
    page = open_page(f"{site_address}/{language}vehicles/K104/index.html", **PHONE)
    looks, function = (box.bounding_box() for box in page.locator(".defect-tally > .affects").all())
    assert max(function["x"] - looks["x"] - looks["width"], function["y"] - looks["y"] - looks["height"]) >= 4


@pytest.mark.parametrize("path", ["vehicles/K104/index.html", "es/vehicles/K104/disclosure-sheet.html"])
def test_points_that_need_attention_begin_with_a_capital(open_page, site_address, path):
    """A point is written small in `content`, as it stands within a sentence."""
    page = open_page(f"{site_address}/{path}", **PHONE)
    told = page.locator(".station-attention, .disclosure-sheet-station > p").all_text_contents()
    assert len(told) >= 8
    assert [words for words in told if not words[0].isupper()] == []


@pytest.mark.parametrize("language", ["", "es/"])
def test_decide_in_one_minute(open_page, site_at_root, language):
    """Is the rust bad? What will the first year cost? What was not checked? Each is answered within two taps."""
    page = open_page("about:blank", **PHONE)
    for stock in ("K102", "K105", "K104"):
        page.goto(f"{site_at_root}/{language}vehicles/{stock}/index.html")
        page.evaluate("document.fonts.ready")
        for part in (".vehicle-hero img", "h1", ".vehicle-price-figure", ".vehicle-distance"):
            expect(page.locator(part)).to_be_visible()
        lines = page.locator(".first-lines")
        assert end_of(lines) <= own_screen(page)
        worst, plan, *_, unchecked = lines.get_by_role("link").all()
        expect(worst).to_contain_text(re.compile("rust|óxido"))
        expect(plan).to_contain_text(re.compile(r"\$[\d,]+"))
        worst.tap()
        expect(page.locator("article.defect:target .defect-title")).to_be_in_viewport()
        expect(page.locator("article.defect:target")).to_contain_text(re.compile("rust|óxido", re.IGNORECASE))
        page.go_back()
        for line, section, answer in (
            (plan, "#outlook", page.locator(".outlook-plan").first),
            (unchecked, "#checks", page.locator("#checks > h2")),
        ):
            line.tap()
            expect(page.locator(f"{section} > h2")).to_be_in_viewport()
            expect(answer).to_be_in_viewport()
            if line is not unchecked:
                page.go_back()
        # All that was not checked is told within one more screen.
        expect(unchecked).to_contain_text(re.compile("Not checked: |Sin revisar: "))
        told = page.locator("#checks").get_by_text(re.compile("not checked|no se revisó", re.IGNORECASE))
        assert max(end_of(sentence) for sentence in told.all() if sentence.is_visible()) <= 2 * SCREEN
        page.go_back()

    # The rust itself: one tap leads to the card with words, size and photo.
    worst.tap()
    card = page.locator("article.defect:target")
    expect(card).to_contain_text(re.compile("rust|óxido", re.IGNORECASE))
    expect(card.locator("img").first).to_be_in_viewport()


def test_look_closer(open_page, site_address):
    """A pin leads to its card, the card to its photo and back to its pin, by touch and by keyboard."""
    page = open_page(f"{site_address}/vehicles/K105/index.html", **PHONE)
    pin = page.get_by_role("link", name="Defect 2: ")
    pin.focus()
    page.keyboard.press("Enter")
    card = page.locator("article.defect:target")
    expect(card).to_be_in_viewport()
    expect(card.locator(".defect-number")).to_have_text("2")
    card.locator(".photo-link").first.tap()
    viewer = page.get_by_role("dialog", name="Photos")
    expect(viewer.locator(".viewer-foot")).to_be_visible()
    viewer.get_by_role("button", name="Close").tap()
    expect(viewer).to_have_count(0)
    card.locator(".defect-number").tap()
    expect(pin).to_be_in_viewport()
    pin.focus()
    page.keyboard.press("Enter")
    card.get_by_text("Ask about this, or see where it is").focus()
    page.keyboard.press("Enter")
    card.get_by_role("link", name="On the drawing defect 2").focus()
    page.keyboard.press("Enter")
    expect(pin).to_be_in_viewport()
    expect(pin).to_be_focused()

    # A word is explained where it stands, once in a section.
    word = page.locator("#measured").get_by_role("button", name="tread")
    expect(word).to_have_count(1)
    word.tap()
    expect(page.get_by_text("Tread is the rubber with the grooves")).to_be_visible()


def test_ask(open_page, site_address):
    """The message is written: it names the vehicle and the defect, and holds an address that leads to it."""
    page = open_page(f"{site_address}/vehicles/K104/index.html", **PHONE)
    card = page.locator("article.defect").nth(1)
    card.get_by_text("Ask about this").tap()
    message = card.locator("a[href^='sms:']")
    expect(message).to_be_visible()
    told = unquote(urlsplit(message.get_attribute("href")).query)
    anchor = card.get_attribute("id")
    assert "K104" in told
    assert "dent" in told.lower()
    assert told.rstrip(".").endswith(f"/vehicles/K104/#{anchor}")
    letter = parse_qs(urlsplit(card.locator("a[href^='mailto:']").get_attribute("href")).query)
    assert "K104" in letter["subject"][0]
    assert f"#{anchor}" in letter["body"][0]

    # Whoever is sent the address sees that defect first.
    other = open_page(f"{site_address}/vehicles/K104/index.html#{anchor}", **PHONE)
    expect(other.locator("article.defect:target .defect-title")).to_be_in_viewport()


def test_compare(open_page, site_at_root):
    """From one vehicle's page, by the list, to two side by side; the address carries both to somebody else."""
    page = open_page(f"{site_at_root}/vehicles/K102/index.html", **PHONE)
    page.get_by_role("link", name="Compare with another vehicle").tap()
    expect(page.locator(".comparison thead th")).to_have_count(1)
    page.get_by_role("link", name="Choose vehicles from the list").tap()
    page.wait_for_url("**/index.html?compare=K102")
    page.get_by_role("checkbox", name=re.compile("^Compare.*Oxbow Haulier")).check()
    page.get_by_role("link", name="Compare them").tap()
    expect(page.locator(".comparison thead th")).to_have_count(2)
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    for words in ("$13,450", "$8,900"):
        expect(page.locator(".comparison").get_by_text(words).first).to_be_visible()


def test_print_for_the_mechanic(open_page, site_at_root, tmp_path):
    """One link from the vehicle's papers; the sheet says how to print it, and leads back."""
    page = open_page(f"{site_at_root}/vehicles/K102/index.html", **PHONE)
    page.locator("#papers").get_by_role("link", name="Mechanic’s sheet").tap()
    expect(page.get_by_role("heading", name="What we did not check")).to_be_visible()
    expect(page.get_by_text("To print this page")).to_be_visible()
    page.pdf(path=tmp_path / "sheet.pdf", format="A4")
    text = text_of(tmp_path / "sheet.pdf")
    assert pages_of(tmp_path / "sheet.pdf") == 2
    order = [
        text.index(words) for words in ("What we did not check", "What we found", "What we measured", "Cautions")
    ]
    assert order == sorted(order)
    assert "To print this page" not in text
    page.get_by_role("link", name="Back to the vehicle’s page").tap()
    expect(page.locator(".first-lines")).to_be_visible()
