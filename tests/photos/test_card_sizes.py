"""A size by a card in the photo holds the truth, or is refused; and the browser measures as Python does.

The views are made by a pinhole camera of this test's own (`card_views`), with numpy; the plane is checked against
scikit-image's estimate of a projective transform, and the demo store's photos against the lengths they were drawn
with.
"""

from __future__ import annotations

import json
import random
from dataclasses import asdict

import numpy as np
import pytest
import yaml
from playwright.sync_api import Browser
from skimage.transform import ProjectiveTransform

from sitegen.photos.card.plane import plane_of
from sitegen.photos.card.sizing import CardSize, NotMeasured, pixels, size_by_card
from sitegen.photos.opening.limits import photo_limits
from sitegen.shared_data import content_folder, themes_folder
from tests.conftest import serve
from tests.photos.card_views import LENGTH, WIDTH, View, views

LIMITS = photo_limits().card
MEASURED = 1_000

# As they are drawn: corners, ends, pixels, and the true length in millimeters.
DOOR = View(
    truth=122.2,
    card=((0.37088, 0.66192), (0.58337, 0.61133), (0.59219, 0.76143), (0.39131, 0.81339)),
    span=((0.33942, 0.47211), (0.64877, 0.52801)),
    width=1600,
    height=1200,
)
TAILGATE = View(
    truth=193.2,
    card=((0.42711, 0.62507), (0.58886, 0.63338), (0.59134, 0.7637), (0.43398, 0.75014)),
    span=((0.69495, 0.46995), (0.32668, 0.52892)),
    width=1600,
    height=1200,
)
BENT_DOOR = View(
    truth=220.7,
    card=((0.15023, 0.65445), (0.16218, 0.42004), (0.36634, 0.43002), (0.34774, 0.65469)),
    span=((0.50197, 0.74351), (0.48061, 0.19668)),
    width=1200,
    height=1600,
)
FAR_FROM_THE_CARD = View(
    truth=481.7,
    card=((0.18092, 0.45376), (0.2368, 0.46786), (0.23471, 0.52754), (0.17944, 0.51163)),
    span=((0.73797, 0.44761), (0.29707, 0.4699)),
    width=1600,
    height=1200,
)


def measured(view: View) -> CardSize | NotMeasured:
    return size_by_card(view.card, view.span, view.width, view.height, LIMITS)


@pytest.mark.parametrize("view", [DOOR, TAILGATE, BENT_DOOR])
def test_the_interval_holds_the_true_length_of_a_drawn_defect(view):
    found = measured(view)
    assert isinstance(found, CardSize)
    assert found.low < view.truth < found.high
    assert found.high - found.low < 0.125 * view.truth


def test_a_card_that_lies_far_from_the_defect_gives_no_size():
    assert measured(FAR_FROM_THE_CARD) is NotMeasured.FAR


def test_at_least_95_in_100_intervals_contain_the_true_length():
    """JCGM 100:2008, 6.3.3: twice the combined standard uncertainty is an interval of about 95 in 100."""
    inside, count = 0, 0
    for view in views(random.Random(7810), 10_000):
        found = measured(view)
        if isinstance(found, CardSize):
            count += 1
            inside += found.low <= view.truth <= found.high
        if count == MEASURED:
            break
    assert count == MEASURED
    assert inside >= 0.95 * MEASURED


def test_the_plane_agrees_with_an_estimate_by_singular_values():
    """scikit-image estimates a projective transform by a direct linear transform, with numpy's SVD."""
    on_card = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * [LENGTH / 2, WIDTH / 2]
    for view in views(random.Random(1), 50):
        corners = pixels(view.card, view.width, view.height)
        estimate = ProjectiveTransform.from_estimate(np.array(corners), on_card)
        ends = pixels(view.span, view.width, view.height)
        plane = plane_of(corners, LENGTH, WIDTH)
        assert np.allclose([plane.on_card(end) for end in ends], estimate(np.array(ends)), rtol=1e-6, atol=1e-6)


def straight_on(across: float, down: float, lean: float = 1.0) -> list[tuple[float, float]]:
    """Return a card in the middle of a photo of 1600 x 1200, squeezed by `lean` from top to bottom."""
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return [((800 + x * across / 2) / 1600, (600 + y * down * lean / 2) / 1200) for x, y in corners]


# 428 pixels to 85.60 mm are 5 to the millimeter: 500 pixels are 100 mm.
CARD = straight_on(428, 269.9)
SPAN = [(550 / 1600, 0.2), (1050 / 1600, 0.2)]


@pytest.mark.parametrize(
    ("card", "span", "expected"),
    [
        ([CARD[0], CARD[2], CARD[1], CARD[3]], SPAN, "crossed"),
        ([CARD[0], CARD[0], CARD[2], CARD[3]], SPAN, "crossed"),
        (straight_on(74, 46.7), SPAN, "small"),
        (straight_on(428, 269.9, lean=0.49), SPAN, "flat"),
        (straight_on(107, 67.475), [(0.01, 0.5), (0.4, 0.5)], "far"),
        (CARD, [(0.5, 0.4), (0.505, 0.4)], "uncertain"),
        (CARD, [(0.5, 0.4), (0.5, 0.4)], "uncertain"),
    ],
)
def test_an_unreliable_size_is_refused_with_its_reason(card, span, expected):
    assert size_by_card(card, span, 1600, 1200, LIMITS) is NotMeasured(expected)


def test_a_length_seen_straight_on_is_counted_in_pixels():
    found = size_by_card(CARD, SPAN, 1600, 1200, LIMITS)
    assert isinstance(found, CardSize)
    assert found.about == pytest.approx(100)


def test_the_browser_computes_the_same_size(browser: Browser):
    """Two implementations of one description agree on sizes to a billionth, and on every refusal."""
    cases = [*views(random.Random(2), 1_500)]
    given = [
        [*([{"x": x, "y": y} for x, y in places] for places in (view.card, view.span)), view.width, view.height]
        for view in cases
    ]
    given.append([[{"x": x, "y": y} for x, y in (CARD[0], CARD[2], CARD[1], CARD[3])], given[0][1], 1600, 1200])
    limits = yaml.safe_load((content_folder() / "reference" / "photos.yaml").read_text("utf-8"))["card"]
    with serve(themes_folder() / "daylight" / "bay" / "photos") as address:
        page = browser.new_page()
        page.goto(f"{address}/card-size.js")
        page.add_script_tag(url="/card-size.js")
        answered = page.evaluate(
            "([given, limits]) => JSON.stringify(JSON.parse(given).map((given) => bay.sizeByCard(...given, limits)))",
            [json.dumps(given), limits],
        )
        page.close()
    *answers, crossed = json.loads(answered)
    assert crossed == {"refused": "crossed"}
    found = [measured(view) for view in cases]
    assert {answer.get("refused") for answer in answers} == {None, "small", "flat", "far", "uncertain"}
    for mine, theirs in zip(found, answers, strict=True):
        if isinstance(mine, NotMeasured):
            assert theirs == {"refused": mine.value}
        else:
            assert theirs == pytest.approx(asdict(mine), rel=1e-9)
