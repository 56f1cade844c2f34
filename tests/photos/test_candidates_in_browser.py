"""Which candidate a real browser loads for each place and screen: the smallest that is sharp there."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest
from PIL import Image, ImageColor
from playwright.sync_api import Page

from tests.conftest import REPOSITORY

PAGES = ("index.html", "vehicles/K102/index.html", "vehicles/K104/index.html")
LOOK = """async () => {
  const images = [...document.querySelectorAll('picture img')].filter((image) => image.checkVisibility())
  for (const image of images) { image.loading = 'eager'; await image.decode() }
  return images.map((image) => [
    image.currentSrc, image.getBoundingClientRect().width, image.parentElement.querySelector('source').srcset])
}"""


@dataclass(frozen=True)
class Loaded:
    """A picture that the browser loaded: its width, the widths offered, and the widest place it stands in."""

    width: int
    offered: tuple[int, ...]
    css_pixels: float


def pictures_on(page: Page) -> Iterator[Loaded]:
    """Yield each picture that the browser loaded. Where a photo stands twice, the larger serves both."""
    loaded: dict[str, Loaded] = {}
    for source, css_pixels, srcset in page.evaluate(LOOK):
        candidates = [candidate.rsplit(" ", 1) for candidate in srcset.split(", ")]
        widths = {address.rsplit("/", 1)[-1]: int(width.removesuffix("w")) for address, width in candidates}
        here = Loaded(widths[source.rsplit("/", 1)[-1]], tuple(sorted(widths.values())), css_pixels)
        before = loaded.setdefault(source, here)
        loaded[source] = replace(here, css_pixels=max(before.css_pixels, css_pixels))
    yield from loaded.values()


@pytest.mark.parametrize("density", [1, 2, 3])
@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("path", PAGES)
def test_the_smallest_candidate_that_is_sharp_is_loaded(site_at_root, open_page, path, width, density):
    """HTML, 4.8.4: one picture pixel for each of the screen's, as Chromium reads `srcset` and `sizes`.

    All narrower ones are too few pixels, and what is loaded is enough, or the widest there is. Two parts in a hundred
    less is still sharp: the slots are told to the nearest eighth of a rem. What spans the screen of a phone, or all
    but its margins (a vehicle's first photo, and each card's), takes two pixels for three of the densest: by far the
    heaviest, it would be half of the first load.
    """
    loaded = list(pictures_on(open_page(f"{site_at_root}/{path}", width=width, device_scale_factor=density)))
    assert len(loaded) > 4
    for each in loaded:
        spans_the_screen = each.css_pixels >= 0.88 * width
        wanted = each.css_pixels * (min(density, 2) if spans_the_screen else density)
        assert all(offered < wanted for offered in each.offered if offered < each.width), each
        assert each.width >= 0.98 * wanted or each.width == each.offered[-1], each


def test_the_first_picture_is_hurried_and_the_rest_wait_until_they_come_near(site_at_root, open_page):
    """WHATWG HTML, fetchpriority and loading. A vehicle's page opens with one picture in sight."""
    page = open_page(f"{site_at_root}/vehicles/K102/index.html", width=390)
    first, *rest = page.evaluate(
        "[...document.querySelectorAll('picture img')].map((i) => [i.fetchPriority, i.loading])"
    )
    assert first in (["high", "auto"], ["high", "eager"])
    assert {tuple(each) for each in rest} == {("auto", "lazy")}


def test_the_mean_color_fills_the_place_of_a_photo_until_it_loads(site_at_root, open_page):
    """Seen in the browser's own screenshot, while the photo is held back; by the photo itself once it is there."""
    page = open_page("about:blank", width=390)
    page.route("**/pictures/*", lambda _: None)
    page.goto(f"{site_at_root}/vehicles/K102/index.html", wait_until="domcontentloaded")
    hero = page.locator(".vehicle-hero .photo-link")
    with Image.open(io.BytesIO(hero.screenshot())) as seen:
        # Its height is no whole number: the first and the last row may show what lies beside it too.
        inner = seen.convert("RGB").crop((0, 1, seen.width, seen.height - 1))
        pixels, shown = max(inner.getcolors())
        assert pixels > 0.99 * inner.width * inner.height
    told = str(hero.locator(".picture-color rect").get_attribute("fill"))
    assert shown == ImageColor.getrgb(told)
    with Image.open(REPOSITORY / "demo_site/vehicles/K102/photos/front-three-quarter-left.jpg") as photo:
        mean: Any = photo.convert("RGB").resize((1, 1), Image.Resampling.BOX).getpixel((0, 0))
    assert all(abs(one - other) <= 2 for one, other in zip(ImageColor.getrgb(told), mean, strict=True))
