"""The same files work wherever they are put: at a host's root, under a sub-path, and opened from a folder."""

from __future__ import annotations

import pytest

from tests.site.print.printing import text_of


@pytest.fixture(params=["root", "sub-path", "folder"])
def place(request: pytest.FixtureRequest) -> str:
    if request.param == "folder":
        return request.getfixturevalue("demo_site_built").as_uri()
    return request.getfixturevalue({"root": "site_at_root", "sub-path": "site_address"}[request.param])


def test_from_the_index_to_a_vehicle_and_back(open_page, place):
    page = open_page(f"{place}/index.html")
    heading = page.locator("h1").inner_text()
    page.locator("main a[href*='vehicles/K102/']").first.click()
    page.wait_for_url(f"{place}/vehicles/K102/index.html")
    assert page.locator("h1").inner_text() != heading
    page.locator("header a[href*='index.html']").first.click()
    page.wait_for_url(f"{place}/index.html")
    assert page.locator("h1").inner_text() == heading


def test_styles_and_pictures_arrive(open_page, place):
    page = open_page(f"{place}/vehicles/K102/index.html")
    assert page.evaluate("[...document.styleSheets].flatMap(sheet => sheet.href ?? []).length") >= 1
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != "rgba(0, 0, 0, 0)"
    page.evaluate("document.querySelectorAll('main details').forEach((folded) => { folded.open = true })")
    for image in page.locator("main img").all():
        image.scroll_into_view_if_needed()
    page.wait_for_function("() => [...document.querySelectorAll('main img')].every(image => image.complete)")
    assert (
        page.evaluate("[...document.querySelectorAll('main img')].filter(image => !image.naturalWidth).length") == 0
    )


def test_a_condition_page_prints(open_page, site_address, tmp_path):
    """Printed to PDF by the browser and read back by poppler: the record is on paper, the controls are not."""
    page = open_page(f"{site_address}/vehicles/K102/index.html")
    page.pdf(path=tmp_path / "page.pdf", format="Letter")
    text = text_of(tmp_path / "page.pdf")
    assert page.locator("h1").inner_text() in text
    assert "/32 in" in text
    page.emulate_media(media="print")
    assert page.locator("nav:visible").count() == 0
    assert page.locator("body").evaluate("body => getComputedStyle(body).backgroundColor") in (
        "rgb(255, 255, 255)",
        "rgba(0, 0, 0, 0)",
    )
