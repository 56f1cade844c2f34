"""axe-core (Deque, axe-core rules with WCAG 2.2 AA and best practices) finds no violation on any type of page."""

from __future__ import annotations

import pytest

from tests.conftest import REPOSITORY
from tests.site.pages import PAGE_TYPES

AXE = (REPOSITORY / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("path", PAGE_TYPES)
def test_axe_finds_no_violation(open_page, site_address, path, width, scheme):
    page = open_page(f"{site_address}/{path}", width=width, scheme=scheme)
    page.evaluate(AXE)
    found = page.evaluate("levels => axe.run({runOnly: levels, resultTypes: ['violations']})", LEVELS)
    told = [
        (rule["id"], node["target"], node["failureSummary"]) for rule in found["violations"] for node in rule["nodes"]
    ]
    assert not told
    assert len(found["passes"]) > 20


@pytest.mark.parametrize("path", PAGE_TYPES)
def test_no_page_scrolls_sideways_at_320_pixels(open_page, site_address, path):
    """WCAG 2.2, 1.4.10 Reflow: 320 CSS pixels wide, as a page of 1280 pixels is at 400 % zoom."""
    page = open_page(f"{site_address}/{path}", width=320, height=256)
    widths = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert widths[0] <= widths[1]


@pytest.mark.parametrize("path", PAGE_TYPES)
def test_a_page_in_forced_colors_and_with_reduced_motion_shows_its_heading(open_page, site_address, path):
    """Media Queries Level 5, 12.1 and 12.4: nothing moves, and the heading can be told from its background."""
    page = open_page(f"{site_address}/{path}", forced_colors="active", reduced_motion="reduce")
    moving = page.evaluate("document.getAnimations().filter(one => one.playState === 'running').length")
    style = "getComputedStyle(document.querySelector('h1'))"
    colors = page.evaluate(f"(({{color, backgroundColor}}) => [color, backgroundColor])({style})")
    assert moving == 0
    assert colors[0] != colors[1]


@pytest.mark.parametrize("path", PAGE_TYPES)
def test_the_first_stop_of_the_keyboard_leads_to_the_main_part(open_page, site_address, path):
    """WCAG 2.2, 2.4.1 Bypass Blocks."""
    page = open_page(f"{site_address}/{path}")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**#main")
    assert page.evaluate("document.activeElement.tagName") == "MAIN"


@pytest.mark.parametrize("path", PAGE_TYPES)
def test_all_text_can_be_read_without_scripts(open_page, site_address, path):
    """The page is whole without scripts: they may add a control, but no word of the record."""
    without = open_page(f"{site_address}/{path}", java_script_enabled=False)
    assert without.locator("h1").is_visible()
    hidden = without.locator("main section:not(:visible)")
    assert hidden.count() == 0
