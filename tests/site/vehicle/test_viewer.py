"""The photo viewer in a real browser, on a host that sends a strict Content-Security-Policy.

Sources: WAI-ARIA Authoring Practices, dialog (modal) pattern: focus goes in, stays in and comes back, Escape closes.
WCAG 2.2: 2.5.1 Pointer Gestures (each has a button), 4.1.3 Status Messages, 2.3.3 Animation from Interactions.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.conftest import serve
from tests.site.access.test_accessibility import AXE, LEVELS

POLICY = (
    "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; font-src 'self'; connect-src 'self'"
)
VEHICLE = "vehicles/K104/index.html"
PICTURE = ".viewer .pswp__item[aria-hidden=false] img.pswp__img:not(.pswp__img--placeholder)"
VISIBLE_MARK = ".viewer .pswp__item[aria-hidden=false] .mark"


@pytest.fixture(scope="module")
def strict_site(demo_site_built: Path) -> Iterator[str]:
    with serve(demo_site_built, {"Content-Security-Policy": POLICY}) as address:
        yield address


@pytest.fixture
def open_vehicle(open_page, strict_site):
    """Open a vehicle's page; what the policy refuses fails the test."""
    refused: list[str] = []

    def open_it(**options: object) -> Page:
        page = open_page("about:blank", **options)
        page.on("console", lambda told: refused.append(told.text) if "Content Security Policy" in told.text else None)
        page.goto(f"{strict_site}/{VEHICLE}")
        return page

    yield open_it
    assert not refused


def open_viewer(page: Page, link: int = 1) -> None:
    """Open the viewer by keyboard at one of the page's photo links, and wait until the photo is there."""
    page.locator(".photo-link").nth(link).focus()
    page.keyboard.press("Enter")
    expect(page.locator(".viewer")).to_be_visible()
    page.wait_for_selector(".viewer .pswp--ui-visible")
    wait_for_picture(page)


def wait_for_picture(page: Page) -> None:
    page.wait_for_function(
        "picture => document.querySelector(picture)?.complete && document.querySelector(picture).naturalWidth > 0",
        arg=PICTURE,
    )


def width_of_picture(page: Page) -> float:
    return page.locator(PICTURE).bounding_box()["width"]


def wait_for_width(page: Page, comparison: str, width: float) -> None:
    page.wait_for_function(
        f"([picture, width]) => document.querySelector(picture).getBoundingClientRect().width {comparison} width",
        arg=[PICTURE, width],
    )


def touches(page: Page, *steps: list[tuple[int, int]]) -> None:
    """Put fingers on the screen, move them step by step, and lift them."""
    session = page.context.new_cdp_session(page)
    for number, fingers in enumerate(steps):
        points = [{"x": x, "y": y, "id": finger} for finger, (x, y) in enumerate(fingers)]
        kind = "touchMove" if number else "touchStart"
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        # The viewer follows fingers once a frame: a step that no frame has seen is lost on a fast machine.
        page.evaluate("() => new Promise((seen) => requestAnimationFrame(() => requestAnimationFrame(seen)))")
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_a_click_shows_the_full_picture_with_its_place_and_words(open_vehicle):
    page = open_vehicle()
    links = page.locator(".photo-link")
    link = page.locator(".defect .photo-link").first
    link.click()
    wait_for_picture(page)
    assert page.locator(PICTURE).get_attribute("src") == link.evaluate("link => link.href")
    told = page.get_by_role("status").filter(has_text=" of ")
    place = links.evaluate_all("(all, one) => all.indexOf(one) + 1", link.element_handle())
    expect(told).to_contain_text(f"{place} of {links.count()}")
    expect(told).to_contain_text("Defect 1: ")
    expect(told).to_contain_text(link.locator("img").get_attribute("alt"))


def test_arrow_keys_go_through_all_photos_and_round(open_vehicle):
    page = open_vehicle()
    count = page.locator(".photo-link").count()
    open_viewer(page, 0)
    place = page.locator(".viewer-place")
    expect(place).to_have_text(f"1 of {count}")
    page.keyboard.press("ArrowRight")
    expect(place).to_have_text(f"2 of {count}")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    expect(place).to_have_text(f"{count} of {count}")
    page.get_by_role("button", name="Next photo").click()
    expect(place).to_have_text(f"1 of {count}")


def test_focus_goes_in_stays_in_and_comes_back(open_vehicle):
    page = open_vehicle()
    open_viewer(page)
    dialog = page.get_by_role("dialog", name="Photos")
    expect(dialog.get_by_role("button", name="Close")).to_be_focused()
    for _ in range(12):
        page.keyboard.press("Tab")
        assert page.evaluate(
            "document.activeElement === document.body || !!document.activeElement.closest('.viewer')"
        )
    page.keyboard.press("Escape")
    expect(page.locator(".viewer")).to_have_count(0)
    expect(page.locator(".photo-link").nth(1)).to_be_focused()


def test_the_close_button_closes_and_the_viewer_opens_again(open_vehicle):
    page = open_vehicle()
    open_viewer(page)
    page.get_by_role("button", name="Close").click()
    expect(page.locator(".viewer")).to_have_count(0)
    open_viewer(page, 2)
    expect(page.locator(".viewer-place")).to_have_text(f"3 of {page.locator('.photo-link').count()}")


def test_the_mark_lies_on_the_photo_and_can_be_hidden(open_vehicle):
    page = open_vehicle()
    open_viewer(page, 1)
    mark, picture = page.locator(VISIBLE_MARK).bounding_box(), page.locator(PICTURE).bounding_box()
    assert mark == pytest.approx(picture, abs=1)
    page.get_by_role("button", name="Hide the mark").click()
    expect(page.locator(VISIBLE_MARK)).to_be_hidden()
    page.keyboard.press("ArrowRight")
    wait_for_picture(page)
    expect(page.locator(VISIBLE_MARK)).to_be_hidden()
    page.get_by_role("button", name="Show the mark").click()
    expect(page.locator(VISIBLE_MARK)).to_be_visible()


def test_a_photo_without_a_mark_has_no_button_for_one(open_vehicle):
    page = open_vehicle()
    open_viewer(page, 0)
    expect(page.locator(".viewer-close")).to_be_visible()
    expect(page.locator(".viewer-mark-button")).to_be_hidden()


@pytest.mark.parametrize("way", ["button", "plus key", "wheel"])
def test_a_photo_zooms_in_and_its_mark_with_it(open_vehicle, way):
    page = open_vehicle()
    open_viewer(page)
    before = width_of_picture(page)
    ways = {
        "button": lambda: page.get_by_role("button", name="Zoom in").click(),
        "plus key": lambda: page.keyboard.press("+"),
        "wheel": lambda: (page.mouse.move(600, 400), page.mouse.wheel(0, -300)),
    }
    ways[way]()
    wait_for_width(page, ">", before * 1.2)
    page.wait_for_function(
        "([mark, picture]) => { const [one, other] = [mark, picture].map(found => "
        "document.querySelector(found).getBoundingClientRect()); "
        "return Math.abs(one.width - other.width) < 2 && Math.abs(one.left - other.left) < 2 }",
        arg=[VISIBLE_MARK, PICTURE],
    )


def test_arrow_keys_move_a_photo_that_is_zoomed_in(open_vehicle):
    page = open_vehicle()
    open_viewer(page)
    place, before = page.locator(".viewer-place").inner_text(), width_of_picture(page)
    page.keyboard.press("+")
    page.keyboard.press("+")
    wait_for_width(page, ">", before * 2)
    left = page.locator(PICTURE).bounding_box()["x"]
    page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "([picture, left]) => document.querySelector(picture).getBoundingClientRect().left < left - 40",
        arg=[PICTURE, left],
    )
    assert page.locator(".viewer-place").inner_text() == place


def test_two_fingers_zoom_and_one_swipes(open_vehicle):
    page = open_vehicle(width=390, height=844, has_touch=True)
    open_viewer(page)
    before = width_of_picture(page)
    spread = [[(180 - step, 420), (210 + step, 420)] for step in range(0, 100, 10)]
    for _ in range(3):  # each gesture goes on from where the one before it ended
        touches(page, *spread)
    wait_for_width(page, ">", before * 1.5)
    page.keyboard.press("z")
    wait_for_width(page, "<", before * 1.05)
    touches(page, *[[(330 - step, 420)] for step in range(0, 260, 20)])
    expect(page.locator(".viewer-place")).to_contain_text("3 of ")


def test_the_photo_stands_between_the_controls_and_the_words(open_vehicle):
    page = open_vehicle(width=390, height=844)
    open_viewer(page)
    bar, foot = page.locator(".viewer-bar").bounding_box(), page.locator(".viewer-foot").bounding_box()
    picture = page.locator(PICTURE).bounding_box()
    assert bar["y"] + bar["height"] <= picture["y"] + 1
    assert picture["y"] + picture["height"] <= foot["y"] + 1
    assert foot["y"] + foot["height"] <= 845


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (320, 480)])
def test_axe_finds_no_violation_in_the_open_viewer(open_page, site_address, width, height):
    page = open_page(f"{site_address}/{VEHICLE}", width=width, height=height)
    open_viewer(page)
    page.evaluate(AXE)
    found = page.evaluate("levels => axe.run('.viewer', {runOnly: levels})", LEVELS)
    assert not [(rule["id"], node["target"]) for rule in found["violations"] for node in rule["nodes"]]
    assert len(found["passes"]) > 5


def test_nothing_moves_by_itself_with_reduced_motion(open_vehicle):
    page = open_vehicle(reduced_motion="reduce")
    open_viewer(page)
    page.keyboard.press("+")
    assert page.evaluate("document.getAnimations().length") == 0
    assert page.evaluate("document.querySelector('.viewer .pswp').style.opacity") == "1"


def test_a_page_loads_the_viewer_only_once_a_photo_is_opened(open_page, strict_site):
    page = open_page("about:blank")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path.rpartition("/")[2]))
    page.goto(f"{strict_site}/{VEHICLE}")
    assert "condition.js" in asked
    assert "lazy-viewer.js" not in asked
    open_viewer(page)
    assert "lazy-viewer.js" in asked


def test_without_scripts_a_photo_is_a_link_to_the_largest_picture(open_page, site_address, demo_site_built):
    page = open_page(f"{site_address}/{VEHICLE}", java_script_enabled=False)
    for link in page.locator(".photo-link").all():
        full = demo_site_built / "vehicles" / "K104" / link.get_attribute("href")
        shown = demo_site_built / "vehicles" / "K104" / link.locator("img").get_attribute("src")
        with Image.open(full) as large, Image.open(shown) as small:
            assert large.width >= small.width
    assert page.locator("dialog").count() == 0


def test_with_the_control_key_a_photo_opens_in_a_tab_of_its_own(open_vehicle):
    page = open_vehicle()
    with page.context.expect_page() as opened:
        page.locator(".photo-link").first.click(modifiers=["Control"])
    assert "/pictures/" in opened.value.url
    assert page.locator(".viewer").count() == 0
