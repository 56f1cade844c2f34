"""A shopper without a mouse reads a vehicle's page: tab order, focus, headings and regions."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.site.access.test_contrast import walking
from tests.site.pages import wait_until_whole

VEHICLE = "vehicles/K102/index.html"
COMPARISON = "compare/index.html?vehicles=K102,K106"

SEEN = """() => {
  const focused = document.activeElement
  const outlined = [focused, focused.closest('.vehicle-card')].filter(Boolean).map((one) => getComputedStyle(one))
    .filter((style) => style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2)
    .map((style) => contrast(resolved(style.outlineColor), behind(focused.parentElement)))
  const pin = focused.querySelector('.body-plan-target')
  if (pin && parseFloat(getComputedStyle(pin).strokeWidth) >= 2)
    outlined.push(contrast(resolved(getComputedStyle(pin).stroke), behind(focused)))
  const corner = focused.querySelector('.body-plan-target, img') ?? focused
  const { left, top, width, height } = corner.getBoundingClientRect()
  const points = [[0.5, 0.5], [0.1, 0.5], [0.9, 0.5], [0.5, 0.1], [0.5, 0.9]]
  const reached = points.some(([across, down]) => {
    const there = document.elementFromPoint(left + across * width, top + down * height)
    return there && (focused.contains(there) || there.contains(focused) || there.closest('label')?.contains(focused))
  })
  return { focused: focused.outerHTML.slice(0, 120), outline: Math.max(0, ...outlined), reached }
}"""


def press(page: Page, key: str, times: int = 1) -> None:
    for _ in range(times):
        page.keyboard.press(key)


def tab_to(page: Page, selector: str, most: int = 200) -> None:
    """Go on with the Tab key until an element has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            return
    raise AssertionError(f"{most} stops, and none was {selector}")


def focused_words(page: Page) -> str:
    return page.evaluate("document.activeElement.textContent.trim()")


def assert_focus_is_seen(page: Page) -> None:
    told = page.evaluate(walking(f"({SEEN})()"))
    assert told["outline"] >= 3, told
    assert told["reached"], told


def test_a_shopper_reads_the_page_by_keyboard_alone(open_page, site_address):
    """From the first key press to the question about one defect."""
    page = open_page(f"{site_address}/{VEHICLE}", width=390, reduced_motion="reduce")

    # The first stop skips what every page has, and from there the next stop is in the page itself.
    press(page, "Tab")
    assert focused_words(page) == "Skip to the page"
    assert_focus_is_seen(page)
    press(page, "Enter")
    press(page, "Tab")
    assert page.evaluate("document.querySelector('main').contains(document.activeElement)")

    # The contents lead to what is wrong with it, and fold again.
    tab_to(page, ".contents summary")
    assert_focus_is_seen(page)
    press(page, "Enter")
    tab_to(page, ".contents a[href='#defects']", most=1)
    assert_focus_is_seen(page)
    press(page, "Enter")
    expect(page.locator(".contents-list")).to_be_hidden()
    expect(page.locator("#defects > h2")).to_be_in_viewport()

    # A pin on the drawing says what it stands for, and leads to its card.
    tab_to(page, ".body-plan-pin")
    assert_focus_is_seen(page)
    pin = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert pin.startswith("Defect 1: ")
    press(page, "Enter")
    card = page.locator(".defect:target")
    expect(card).to_be_in_viewport()
    expect(page.get_by_role("article", name="Defect 1")).to_have_count(1)

    # In the card the photo opens over the page; Escape closes it, and the reader is where they were.
    tab_to(page, ".defect:target .photo-link")
    assert_focus_is_seen(page)
    press(page, "Enter")
    viewer = page.get_by_role("dialog", name="Photos")
    expect(viewer.get_by_role("button", name="Close")).to_be_focused()
    press(page, "Escape")
    expect(viewer).to_have_count(0)
    assert page.evaluate("document.activeElement.matches('.defect:target .photo-link')")

    # The strip is one stop: the arrows go along it.
    press(page, "ArrowRight")
    assert page.evaluate("document.activeElement.matches('.defect:target .photo:nth-child(2) > .photo-link')")
    assert_focus_is_seen(page)

    # Below it, the ways to ask stand behind one stop, and name the defect.
    tab_to(page, ".defect:target .ask-folded > summary")
    assert_focus_is_seen(page)
    press(page, "Enter")
    tab_to(page, ".defect:target .ask-way")
    assert_focus_is_seen(page)
    assert "defect 1" in focused_words(page)

    # The outlook follows the miles that the reader drives, and says so.
    tab_to(page, ".outlook-number")
    assert_focus_is_seen(page)
    press(page, "Control+a")
    page.keyboard.type("20000")
    expect(page.locator("output[for='outlook-a-year']")).to_contain_text("20,000 mi a year")

    # A word of the trade opens its explanation right below or above it, and the reader is where they were.
    tab_to(page, "#papers .explained")
    assert_focus_is_seen(page)
    word = focused_words(page)
    press(page, "Enter")
    explanation = page.locator(".explanation:popover-open")
    expect(explanation).to_contain_text(word)
    there, around = explanation.bounding_box(), page.locator("#papers .explained").first.bounding_box()
    assert min(abs(there["y"] + there["height"] - around["y"]), abs(around["y"] + around["height"] - there["y"])) < 10
    press(page, "Escape")
    expect(page.locator(".explanation:popover-open")).to_have_count(0)
    assert focused_words(page) == word

    # At the end of the page stands how to ask.
    tab_to(page, "#ask a[href^='tel:']")
    assert_focus_is_seen(page)


@pytest.mark.parametrize(
    ("path", "width", "scheme", "least"),
    [
        (VEHICLE, 390, "light", 40),
        (VEHICLE, 1280, "dark", 40),
        ("index.html", 390, "dark", 15),
        (COMPARISON, 390, "light", 10),
    ],
)
def test_every_stop_is_seen_and_not_covered_and_the_last_leads_out(
    open_page, site_address, path, width, scheme, least
):
    page = open_page(f"{site_address}/{path}", width=width, scheme=scheme, reduced_motion="reduce")
    wait_until_whole(page)
    stops = 0
    press(page, "Tab")
    while page.evaluate("document.activeElement !== document.body"):
        assert_focus_is_seen(page)
        stops += 1
        press(page, "Tab")
        assert stops < 500
    assert stops > least


def test_every_section_has_a_heading_and_a_region(open_page, site_address):
    """One main part, one first heading, and a region for each section, in the order of the contents."""
    page = open_page(f"{site_address}/{VEHICLE}")
    main = page.get_by_role("main")
    expect(main).to_have_count(1)
    expect(page.get_by_role("heading", level=1)).to_have_count(1)
    contents = main.get_by_role("navigation", name="On this page").get_by_role("link").all()
    anchors = [link.get_attribute("href").removeprefix("#") for link in contents]
    regions = [region.get_attribute("id") for region in main.get_by_role("region").all()]
    assert [region for region in regions if region in anchors] == anchors
    for region in main.get_by_role("region").all():
        expect(region.get_by_role("heading", level=2).first).to_be_visible()
    page.locator(".outlook-grounds > summary").click()
    snapshot = main.aria_snapshot()
    assert 'heading "Defect 1' in snapshot
    assert "table" in snapshot
