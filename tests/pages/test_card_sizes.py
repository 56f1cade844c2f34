"""A size measured by a card in words, and the scale bar of the same length."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from bs4 import BeautifulSoup
from skimage.transform import ProjectiveTransform

from sitegen.pages.composing import translator_for
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.card_sizes import scale_bar, size_words
from sitegen.photos.planning.pictures import Candidate, Picture, Pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.records.disclosure import Defect
from sitegen.shared_data import content_folder
from tests.builders import some_settings

CARD = [(0.37088, 0.66192), (0.58337, 0.61133), (0.59219, 0.76143), (0.39131, 0.81339)]
SPAN = [(0.33942, 0.47211), (0.64877, 0.52801)]


def spots(places: list[tuple[float, float]]) -> list[dict[str, float]]:
    return [{"x": x, "y": y} for x, y in places]


def a_scratch(span: list[tuple[float, float]] = SPAN, **changes: Any) -> Defect:
    photo = {"file": "a.jpg", "shows": "A scratch above a card.", "card": spots(CARD), "span": spots(span)}
    where = {"station": "left side", "part": "door"}
    words = {"id": "scratch", "kind": "scratch", "where": where, "affects": "looks", "words": "Light."}
    return Defect.model_validate({**words, "photos": [photo], **changes})


def a_picture(width: int = 1600, height: int = 1200) -> Picture:
    size = Candidate(width, height, "a.jpg")
    return Picture(width, height, (), size, size, "#8a8f94")


def speaking(language: str, region: str) -> Translator:
    settings = some_settings(languages=["en", "es"], region=region)
    return translator_for(language, settings, read_figures(content_folder(), settings.region))


@pytest.mark.parametrize(
    ("language", "region", "told"),
    [
        ("en", "eu", "About 122 mm (117 to 127), measured in the photo by a card beside it"),
        (
            "en",
            "us",
            "About 4.8 in (4.6 to 5), which is 122 mm (117 to 127), measured in the photo by a card beside it",
        ),
        (
            "es",
            "us",
            "Unas 4.8 in (de 4.6 a 5), es decir 122 mm (de 117 a 127), medido en la foto con una tarjeta al lado",
        ),
    ],
)
def test_a_size_by_a_card_is_shown_as_a_range_rounded_outward(language, region, told):
    """122.0 mm from 117.1 to 127.0; a mean of 4.80 in from 4.61 to 5.00."""
    words = size_words(
        a_scratch(), Pictures(Path(), {("K900", "a.jpg"): a_picture()}), "K900", speaking(language, region)
    )
    assert words is not None
    assert words.replace("\u00a0", " ") == told


def test_a_size_in_the_record_takes_precedence():
    pictures = Pictures(Path(), {("K900", "a.jpg"): a_picture()})
    words = size_words(a_scratch(size="12 cm"), pictures, "K900", speaking("en", "eu"))
    assert words == "12\u00a0cm"


def test_a_card_without_a_size_shows_the_reason_and_no_bar():
    translator, far = speaking("en", "eu"), a_scratch(span=[(0.01, 0.01), (0.99, 0.02)])
    pictures = Pictures(Path(), {("K900", "a.jpg"): a_picture()})
    assert size_words(far, pictures, "K900", translator) == (
        "Size not measured: the card in the photo is too far from it to go by"
    )
    assert scale_bar(far.photos[0], a_picture(), translator) is None


@pytest.mark.parametrize(("region", "words", "millimeters"), [("us", "4 in", 101.6), ("eu", "10 cm", 100)])
def test_the_bar_has_the_stated_length_in_the_plane_of_the_card(region, words, millimeters):
    picture = a_picture(4000, 3000)
    bar = scale_bar(a_scratch().photos[0], picture, speaking("en", region))
    assert bar is not None
    assert bar.words.replace("\u00a0", " ") == words
    corners = np.array(CARD) * [picture.width, picture.height]
    plane = ProjectiveTransform.from_estimate(corners, np.array([[0, 0], [85.60, 0], [85.60, 53.98], [0, 53.98]]))
    ends = plane(np.array(bar.strokes[0], float).reshape(2, 2))
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(millimeters, abs=0.3)


def test_a_demo_page_shows_the_size_and_the_bar(demo_site_built):
    """The scratch was drawn 122.2 mm long."""
    page = BeautifulSoup((demo_site_built / "vehicles/K101/index.html").read_bytes(), "html.parser")
    card = page.select_one("#left-rear-door-scratch")
    assert card is not None
    assert "122 mm (117 to 127), measured in the photo by a card beside it" in card.text.replace("\u00a0", " ")
    assert [words.text.replace("\u00a0", " ") for words in card.select(".scale-words")] == ["4 in"]
