"""axe-core (Deque, axe-core rules with WCAG 2.2 AA and best practices) finds no violation on any type of page.

And what no rule of it covers: 320 pixels, no scripts, a keyboard's first stop, colors that the reader has chosen.
"""

from __future__ import annotations

from typing import Literal

import pytest
from playwright.sync_api import Page

from tests.conftest import REPOSITORY
from tests.site.pages import PAGE_TYPES

AXE = (REPOSITORY / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
AUDITED = (*PAGE_TYPES, "data/index.html", "browse/body-suv/index.html")
"""All but the comparison and the sheets, to which axe is put where they are tested."""

VIEWS: tuple[tuple[int, Literal["light", "dark"]], ...] = ((1280, "light"), (390, "dark"), (320, "light"))
"""Each width in CSS pixels once, each scheme at least once: every text in both is held by test_contrast."""

RULES_APPLIED = 20  # at least; on each of these pages more than that are

TIMERS_AS_PROMISES = """() => {
  window.setTimeout = (work, _, ...given) => { Promise.resolve().then(() => work(...given)) }
}"""
"""With scripts off a browser still settles promises that a tool makes in the page, but never calls a timer."""

# Style sheets would be loaded again for one rule alone, which is an experiment and not among these levels.
RUN = """async (levels) => {
  const options = { runOnly: levels, resultTypes: ['violations'], preload: { assets: ['media'] } }
  const { violations, passes } = await axe.run(options)
  const faults = violations.flatMap(({ id, nodes }) => nodes.map((node) => [id, node.target, node.failureSummary]))
  return [faults, passes.length]
}"""


def assert_axe_finds_nothing(page: Page, width: int, scheme: Literal["light", "dark"]) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme=scheme)
    faults, passed = page.evaluate(RUN, LEVELS)
    assert not faults, (width, scheme)
    assert passed > RULES_APPLIED


@pytest.mark.parametrize("path", AUDITED)
def test_axe_finds_no_violation(open_page, site_address, path):
    page = open_page(f"{site_address}/{path}")
    page.evaluate(AXE)
    for width, scheme in VIEWS:
        assert_axe_finds_nothing(page, width, scheme)


@pytest.mark.parametrize("path", AUDITED)
def test_without_scripts_axe_finds_no_violation_and_all_text_can_be_read(open_page, site_address, path):
    """The page is whole without scripts: they may add a control, but no word of the record."""
    page = open_page(f"{site_address}/{path}", java_script_enabled=False)
    assert page.locator("h1").is_visible()
    assert page.locator("main section:not(:visible)").count() == 0
    page.evaluate(TIMERS_AS_PROMISES)
    page.evaluate(AXE)
    assert page.evaluate("matchMedia('(scripting: none)').matches")
    for width, scheme in VIEWS:
        assert_axe_finds_nothing(page, width, scheme)


@pytest.mark.parametrize("path", AUDITED)
def test_a_page_follows_the_readers_settings(open_page, site_address, path):
    page = open_page(f"{site_address}/{path}", width=320, height=256)

    # WCAG 2.2, 1.4.10 Reflow: 320 CSS pixels wide, as a page of 1280 pixels is at 400 % zoom.
    widths = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert widths[0] <= widths[1]

    # WCAG 2.2, 2.4.1 Bypass Blocks.
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**#main")
    assert page.evaluate("document.activeElement.tagName") == "MAIN"

    # Media Queries Level 5, 12.1 and 12.4: nothing moves, and the heading can be told from its background.
    page.emulate_media(forced_colors="active", reduced_motion="reduce")
    style = "getComputedStyle(document.querySelector('h1'))"
    colors = page.evaluate(f"(({{color, backgroundColor}}) => [color, backgroundColor])({style})")
    assert colors[0] != colors[1]
    assert page.evaluate("document.getAnimations().filter(one => one.playState === 'running').length") == 0
