"""Which pictures are made of a photo: never larger than it, in steps that serve every screen, one to look closely."""

from __future__ import annotations

import hashlib
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps
from skimage.metrics import structural_similarity

from sitegen.photos.planning.planning import PhotoFacts, plan_pictures
from sitegen.photos.planning.recipe import AVIF, FULL_LONGEST, WEBP, WIDEST_IN_A_ROW
from sitegen.records.store import PictureSettings
from tests.conftest import REPOSITORY
from tests.photos.lots import grain, make_one, opened, photos_folder

sides = st.integers(64, 9_000)


def a_photo(width: int, height: int) -> PhotoFacts:
    return PhotoFacts(hashlib.sha256(b"photo").hexdigest(), "JPEG", width, height, 1, 10.0)


@given(sides, sides)
def test_no_picture_is_larger_than_its_photo_or_out_of_shape(width, height):
    """Enlarging invents detail: no side is longer than the photo's, and no side is off by more than half a pixel."""
    for each in plan_pictures(a_photo(width, height)).derivations():
        made = each.picture
        assert made.width <= width
        assert made.height <= height
        full_height = height * made.width / width
        assert abs(made.height - full_height) <= 1 + full_height * 0.5 / max(1, made.width)


@pytest.mark.parametrize(
    ("size", "widths", "full"),
    [
        ((4032, 3024), [320, 480, 640, 800, 1200, 1600], (2048, 1536)),
        ((3024, 4032), [320, 480, 640, 800, 1200, 1536], (1536, 2048)),
        ((1500, 1000), [320, 480, 640, 800, 1200, 1500], (1500, 1000)),
        ((640, 480), [320, 480, 640], (640, 480)),
        ((300, 200), [300], (300, 200)),
    ],
)
def test_a_photos_own_width_closes_the_row(size, widths, full):
    """By hand: each width up to the photo's or its full picture's, and then that width itself."""
    plan = plan_pictures(a_photo(*size))
    assert [[each.picture.width for each in source] for source in plan.sources] == [widths]
    assert (plan.full.picture.width, plan.full.picture.height) == full


def test_a_store_chooses_formats_and_widths_and_has_the_widest_of_first_photos_only():
    """A choice makes other names, so that no old picture is taken for a new one; JPEG is there whatever is chosen."""
    chosen = PictureSettings.model_validate({"formats": ["webp", "avif"], "widths": [400, 1600]})
    first, other = (
        plan_pictures(a_photo(4032, 3024), is_first=is_first, wanted=chosen) for is_first in (True, False)
    )
    assert [[each.picture.name.rpartition("-")[2] for each in source] for source in first.sources] == [
        ["400.webp", "1600.webp"],
        ["400.avif", "1600.avif"],
    ]
    assert [[each.picture.width for each in source] for source in other.sources] == [[400], [400]]
    assert other.full.picture.name.endswith("-2048.jpg")
    assert len({first.key, other.key, plan_pictures(a_photo(4032, 3024)).key}) == 3


def test_close_ups_of_defects_get_the_higher_quality():
    """At the sizes of dense screens a view is written with less quality than a close-up, under a name of its own."""
    view, close_up = (plan_pictures(a_photo(4032, 3024), is_close_up=proves) for proves in (False, True))
    for widths, is_less in (((320, 480, 640, 800), False), ((1200, 1600), True)):
        for encoding in (AVIF, WEBP):
            for width in widths:
                qualities = [encoding.quality_for(width, proves) for proves in (False, True)]
                assert (qualities[0] < qualities[1]) is is_less
    assert not {each.picture.name for each in view.derivations()} & {
        each.picture.name for each in close_up.derivations()
    }


# HTML, 4.8.4.2.2: the browser wants slot x density pixels. Steps of at most 1.5 waste at most 1.5 squared in pixels.
def test_no_step_between_widths_is_so_wide_that_a_screen_must_load_much_too_much():
    widths = PictureSettings().widths
    assert max(wider / narrower for narrower, wider in pairwise(widths)) <= 1.5
    assert widths[0] <= 170 * 2
    assert WIDEST_IN_A_ROW in widths
    assert widths[-1] < FULL_LONGEST


def test_each_picture_has_the_size_and_format_that_a_page_is_told(tmp_path):
    """Decoded by Pillow: what stands in `srcset`, `width` and `height` is what the files hold."""
    grain((700, 500)).save(photos_folder(tmp_path) / "photo.jpg")
    pictures, picture = make_one(tmp_path, "photo.jpg")
    told = [(size, source.mime) for source in picture.sources for size in source.sizes]
    told += [(picture.fallback, "image/jpeg"), (picture.full, "image/jpeg")]
    for size, mime in told:
        with Image.open(pictures.files()[size.name]) as image:
            assert image.get_format_mimetype() == mime
            assert image.size == (size.width, size.height)


def test_the_placeholder_is_the_photos_mean_color(tmp_path):
    """Half of (200, 0, 100) and half of (100, 0, 0) is (150, 0, 50)."""
    photo = Image.new("RGB", (400, 300), (200, 0, 100))
    photo.paste((100, 0, 0), (200, 0, 400, 300))
    photo.save(photos_folder(tmp_path) / "photo.png")
    _, picture = make_one(tmp_path, "photo.png")
    assert picture.placeholder == "#960032"


def test_a_jpeg_decoded_at_half_size_is_as_good_as_one_decoded_whole(tmp_path):
    """Compared with all of it decoded and resized by Pillow: as like as every other picture must be to its photo.

    Structural similarity of luma (Wang et al., 2004), by scikit-image.
    """
    with Image.open(REPOSITORY / "demo_site/vehicles/K103/photos/door-dent.jpg") as photo:
        large = ImageOps.exif_transpose(photo).convert("RGB").resize((6400, 4800), Image.Resampling.BICUBIC)
    large.save(photos_folder(tmp_path) / "photo.jpg", quality=92)
    pictures, picture = make_one(tmp_path, "photo.jpg")
    with Image.open(photos_folder(tmp_path) / "photo.jpg") as whole:
        expected = whole.resize((2048, 1536), Image.Resampling.LANCZOS).convert("L")
    made = opened(pictures, picture.full.name).convert("L")
    assert structural_similarity(np.asarray(expected), np.asarray(made), data_range=255) >= 0.95
