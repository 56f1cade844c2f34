"""A defect drawn beside a card: both to one scale, and the card's name in it or, beside a small one, at its side.

A card of ISO/IEC 7810, ID-1, is 85.60 by 53.98 mm. Letters of the drawing are 11 units high, as its style has them.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as some

from sitegen.pages.composing import translator_for
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.defects.size_drawing import size_drawing
from sitegen.reading.reference.figures import read_figures
from sitegen.shared_data import content_folder
from tests.builders import some_settings

LETTERS = 11


def speaking(language: str) -> Translator:
    settings = some_settings(languages=["en", "es"])
    return translator_for(language, settings, read_figures(content_folder(), settings.region))


SPEAKING = {language: speaking(language) for language in ("en", "es")}


@pytest.mark.parametrize(("millimetres", "share"), [("42.8", 0.5), ("85.6", 1), ("856", 10)])
def test_bar_and_card_are_to_one_scale(millimetres, share):
    """Each is rounded to a whole unit."""
    drawn = size_drawing(Fraction(millimetres), SPEAKING["en"])
    assert drawn.length == pytest.approx(drawn.card_width * share, abs=0.5 + 0.5 * share)
    assert drawn.card_height == pytest.approx(drawn.card_width * 53.98 / 85.60, abs=0.9)


@given(some.fractions(min_value=1, max_value=5_000, max_denominator=10), some.sampled_from(sorted(SPEAKING)))
def test_labels_are_in_or_beside_the_card_and_never_overlap(millimetres, language):
    drawn = size_drawing(millimetres, SPEAKING[language])
    card_end = drawn.left + drawn.card_width
    for word in drawn.card:
        assert drawn.card_top <= word.y - LETTERS / 2
        assert word.y + LETTERS / 2 <= drawn.height
        if drawn.anchor == "middle":
            assert word.x == drawn.left + drawn.card_width / 2
            assert word.y + LETTERS / 2 <= drawn.card_top + drawn.card_height
        else:
            assert word.x > card_end
    lines = [word.y for word in drawn.card]
    assert all(below - above >= LETTERS for above, below in pairwise(lines))
    assert " ".join(word.text for word in drawn.card) == SPEAKING[language].say("size.card")
