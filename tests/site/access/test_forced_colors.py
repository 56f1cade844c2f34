"""In the colors that a reader has chosen (Media Queries Level 5, forced-colors) drawings are seen as text is.

Source: CSS Color Adjustment Level 1: backgrounds are taken away, and a drawing keeps its own colors unless it takes
the reader's. So each line of a ruler or a drawing must be in the reader's text or link color, and what was told by a
background alone must have an outline. WCAG 2.2, 1.4.11: 3:1 for what is not text.
"""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import Locator, Page
from wcag_contrast_ratio import rgb

from tests.conftest import run_sitegen
from tests.site.access.test_contrast import walking

VEHICLE = "vehicles/K102/index.html"

LINES = """selectors => Object.fromEntries(selectors.map((selector) => [selector,
  [...document.querySelectorAll(selector)].map((line) => getComputedStyle(line).stroke)]))"""
CHOSEN = """() => ['CanvasText', 'LinkText'].map((color) => {
  document.body.style.setProperty('caret-color', color)
  return getComputedStyle(document.body).caretColor
})"""
EDGES = """selector => [...document.querySelectorAll(selector)].map((element) => {
  const { borderTopColor, borderTopStyle, borderTopWidth } = getComputedStyle(element)
  const seen = borderTopStyle !== 'none' && parseFloat(borderTopWidth) >= 1
  return seen ? contrast(resolved(borderTopColor), behind(element.parentElement)) : 0
})"""
MARKS = """[...document.querySelectorAll('.mark')].map((mark) => {
  const strokeOf = (part) => resolved(getComputedStyle(mark.querySelector(part)).stroke)
  return contrast(strokeOf('.mark-halo'), strokeOf('.mark-line'))
})"""

DRAWN = (
    *(".ruler-ticks", ".ruler-limit", ".ruler-limit-edge", ".ruler-other", ".ruler-lowest", ".ruler-body"),
    *(".body-plan-outline", ".body-plan-line", ".body-plan-detail", ".body-plan-ring"),
)


TOLD_BY_BACKGROUND = {
    "vehicles/K102/index.html": (".defect-number", ".button", ".affects"),
    "vehicles/K107/index.html": (".first-words",),
}


def in_both_schemes(page: Page) -> Iterable[str]:
    """Set one scheme after the other: what a reader's colors are depends on it."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        yield scheme


def test_rulers_drawings_and_pins_are_in_the_colors_chosen(open_page, site_address):
    page = open_page(f"{site_address}/{VEHICLE}", forced_colors="active")
    for scheme in in_both_schemes(page):
        chosen = set(page.evaluate(CHOSEN))
        for selector, strokes in page.evaluate(LINES, list(DRAWN)).items():
            assert strokes, selector
            assert set(strokes) <= chosen, (scheme, selector)


@pytest.mark.parametrize("path", TOLD_BY_BACKGROUND)
def test_states_shown_by_background_have_an_outline(open_page, site_address, path):
    page = open_page(f"{site_address}/{path}", forced_colors="active")
    for scheme in in_both_schemes(page):
        for part in TOLD_BY_BACKGROUND[path]:
            edges = page.evaluate(walking(f"({EDGES})('{part}')"))
            assert edges, part
            assert min(edges) >= 3, (scheme, part)


def test_marks_on_photos_keep_light_round_dark(open_page, site_address):
    """A photo keeps its colors, so a mark on it does too."""
    page = open_page(f"{site_address}/{VEHICLE}", forced_colors="active")
    for scheme in in_both_schemes(page):
        pairs = page.evaluate(walking(MARKS))
        assert pairs
        assert min(pairs) >= 7, scheme


FILLED = {
    "vehicles/K102/index.html": (".button", ".defect-number", ".demo-notice p"),
    "index.html": (".demo-notice p",),
}


def contrast_inside(part: Locator) -> float:
    """Return the contrast between the lightest and the darkest pixel well inside the border of an element."""
    picture = Image.open(BytesIO(part.screenshot())).convert("RGB")
    width, height = picture.size
    inside = picture.crop((width // 5, height // 5, width - width // 5, height - height // 5))
    colors = sorted((color for _, color in inside.getcolors(1 << 24) if isinstance(color, tuple)), key=sum)
    lightest, darkest = (tuple(channel / 255 for channel in color) for color in (colors[-1], colors[0]))
    return float(rgb(lightest, darkest))


@pytest.mark.parametrize("path", FILLED)
def test_words_on_a_filled_ground_can_be_read(open_page, site_address, path):
    """WCAG 2.2, 1.4.3: 4.5:1, measured on the pixels that are shown."""
    page = open_page(f"{site_address}/{path}", forced_colors="active")
    for scheme in in_both_schemes(page):
        for part in FILLED[path]:
            assert contrast_inside(page.locator(part).first) >= 4.5, (scheme, part)


def test_buttons_of_desk_and_bay_can_be_read(demo_store, tmp_path, open_page):
    for command in ("desk", "bay"):
        assert run_sitegen(command, demo_store, "--to", tmp_path / command).returncode == 0
    desk = open_page((tmp_path / "desk" / "vehicles" / "K102.en.html").as_uri(), forced_colors="active")
    bay = open_page((tmp_path / "bay" / "index.html").as_uri(), forced_colors="active")
    for page, part in ((desk, ".desk-main-button"), (bay, ".bay-main-button")):
        for scheme in in_both_schemes(page):
            assert contrast_inside(page.locator(part).first) >= 4.5, (scheme, part)
