"""The drawing of the body in a real browser: pins that fingers and keys can reach, and cards that lead back.

Source: WCAG 2.2, 2.5.8 Target Size (Minimum): 24 by 24 CSS pixels; 2.1.1 Keyboard; 2.4.7 Focus Visible.
"""

from __future__ import annotations

from itertools import combinations

import pytest
from playwright.sync_api import expect

STOCKS = ["K101", "K102", "K103", "K104", "K105", "K106", "K108"]


@pytest.mark.parametrize("stock", STOCKS)
def test_every_pin_is_a_target_of_24_pixels_that_no_other_covers(open_page, site_address, stock):
    page = open_page(f"{site_address}/vehicles/{stock}/index.html")
    for width in (320, 390, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        boxes = [target.bounding_box() for target in page.locator(".body-plan-target").all()]
        assert len(boxes) == page.locator("article.defect").count()
        assert min(box["width"] for box in boxes) >= 24
        for one, other in combinations(boxes, 2):
            across, down = abs(one["x"] - other["x"]), abs(one["y"] - other["y"])
            assert across * across + down * down >= 24 * 24, width
        assert all(box["x"] >= 0 and box["x"] + box["width"] <= width for box in boxes), width


def test_pins_come_in_the_order_of_their_numbers_and_show_what_they_affect_by_outline(open_page, site_address):
    page = open_page(f"{site_address}/vehicles/K105/index.html", forced_colors="active")
    pins = page.locator(".body-plan-pin")
    assert [number.strip() for number in pins.all_text_contents()] == [
        str(number) for number in range(1, pins.count() + 1)
    ]
    outlines = {
        "looks": "([ring]) => getComputedStyle(ring).strokeDasharray !== 'none'",
        "function": "rings => rings.length === 1 && getComputedStyle(rings[0]).strokeDasharray === 'none'",
        "safety": "rings => rings.length === 2",
    }
    for affects, is_told in outlines.items():
        pin = page.locator(f".body-plan-{affects}").first
        assert pin.evaluate(f"pin => ({is_told})(pin.querySelectorAll('.body-plan-ring'))"), affects


def test_the_drawing_is_on_paper_too(open_page, site_address):
    page = open_page(f"{site_address}/vehicles/K102/index.html")
    page.emulate_media(media="print")
    expect(page.locator(".body-plan-drawing")).to_be_visible()
    expect(page.locator(".body-plan-number").first).to_be_visible()
    assert page.locator("template").first.is_hidden()
