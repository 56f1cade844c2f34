"""Contrast of all text on all pages, in both schemes: at least 7:1 (WCAG 2.2, 1.4.6 Contrast, Enhanced).

The formula in `contrast.js` is held to the package wcag-contrast-ratio and to pairs worked out from the definition in
WCAG 2.2; that its walk through a page finds what is weak is shown on a page that is weak on purpose.
"""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import Literal

import pytest
import wcag_contrast_ratio
from playwright.sync_api import Page

from tests.site.pages import EVERY_TYPE, wait_until_whole

WALK = (Path(__file__).parent / "contrast.js").read_text("utf-8")
ENOUGH = 7

PAIRS = (
    ("#000000", "#ffffff", 21.0),
    ("#767676", "#ffffff", 4.5422),
    ("#777777", "#ffffff", 4.4781),
    ("#595959", "#ffffff", 7.0047),
    ("#949494", "#ffffff", 3.0335),
    ("#959595", "#ffffff", 2.9953),
    ("#ff0000", "#ffffff", 3.9985),
    ("#0000ff", "#ffffff", 8.5925),
    ("#00ff00", "#ffffff", 1.3722),
    ("#b00020", "#ffffff", 7.3250),
    ("#ffd700", "#000000", 14.9722),
)
"""Relative luminance and contrast ratio by their definitions in WCAG 2.2, to four places."""

WEAK = """<style>
body { background: #fff } p { color: #595959 } .weak { color: #5a5a5a } .see-through { color: rgb(0 0 0 / 60%) }
.dark { background: #333 } .dark p { color: #8a8a8a } svg { background: #fff }
</style><p>enough</p><p class="weak">weak</p><p class="see-through">see-through</p><div class="dark"><p>dark</p></div>
<svg viewBox="0 0 200 40"><rect width="200" height="40" fill="#000"/><text x="9" y="25" fill="#111">drawn</text></svg>
<p class="weak" hidden>hidden</p><input id="field" placeholder="hint" style="background: #fff; color: #000">"""


SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")


def share(color: str) -> tuple[float, float, float]:
    red, green, blue = (int(color[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return red, green, blue


def walking(expression: str) -> str:
    """Return a script that works an expression out with the functions of the walk."""
    return f"(() => {{ {WALK}\nreturn {expression} }})()"


def assert_all_text_stands_out(page: Page, least: int = 1) -> None:
    """Wide and narrow, in both schemes, with everything unfolded, all of at least so many pieces of text."""
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true })")
    # A strip of photos shows all of them, so that each number stands on its mark.
    page.evaluate("document.querySelectorAll('.defect-photos').forEach((each) => { each.style.flexWrap = 'wrap' })")
    for width, scheme in product((1280, 320), SCHEMES):
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)
        told = page.evaluate(walking(f"textsBelow({ENOUGH})"))
        assert not told["found"], (width, scheme)
        assert told["count"] >= least, (width, scheme)


def test_the_formula_is_that_of_wcag(open_page):
    page = open_page("about:blank")
    for one, other, ratio in PAIRS:
        ours = page.evaluate(walking(f"contrast(resolved('{one}'), resolved('{other}'))"))
        assert ours == pytest.approx(wcag_contrast_ratio.rgb(share(one), share(other)), rel=1e-6)
        assert ours == pytest.approx(ratio, abs=5e-5)


def test_the_contrast_check_finds_weak_text_and_nothing_else(open_page):
    page = open_page("about:blank")
    page.set_content(WEAK)
    told = page.evaluate(walking(f"textsBelow({ENOUGH})"))
    assert {words for words, *_ in told["found"]} == {"weak", "see-through", "dark", "drawn", "hint in field"}


@pytest.mark.parametrize("path", EVERY_TYPE)
def test_all_text_has_a_contrast_of_seven_to_one(open_page, site_address, path):
    page = open_page(f"{site_address}/{path}")
    wait_until_whole(page)
    assert_all_text_stands_out(page, least=20)


def test_text_in_overlays_has_enough_contrast_too(open_page, site_address):
    page = open_page(f"{site_address}/vehicles/K102/index.html")
    page.locator("#measured .explained").first.click()
    page.locator(".explanation:popover-open").wait_for()
    assert_all_text_stands_out(page)
    page.keyboard.press("Escape")
    page.locator(".photo-link").first.click()
    page.locator(".viewer-caption").wait_for()
    assert_all_text_stands_out(page)
