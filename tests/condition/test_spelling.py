"""A misspelled dangerous word is corrected, and no other word is changed to one."""

from __future__ import annotations

import string
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.condition.danger.matching import find_dangers
from sitegen.records.standing.spelling import LEAST_LETTERS, Spelling, is_slip
from tests.condition.judged import US

LONG = st.text(string.ascii_lowercase, min_size=LEAST_LETTERS + 1, max_size=14)


@given(LONG, st.data())
def test_one_letter_left_out_within_a_word_is_a_slip_and_is_put_back(word: str, data: st.DataObject):
    place = data.draw(st.integers(1, len(word) - 2))
    written = word[:place] + word[place + 1 :]
    assert is_slip(written, word)
    assert is_slip(word, written)
    assert Spelling({}, [(word, False)])[written] == word


@given(LONG, st.data())
def test_another_letter_at_either_end_is_another_word(word: str, data: st.DataObject):
    other = data.draw(st.sampled_from(string.ascii_lowercase))
    for written in (other + word[1:], word[:-1] + other):
        assert not is_slip(written, word)
        assert Spelling({}, [(word, False)])[written] == written


@given(LONG)
def test_a_known_word_is_never_changed(word: str):
    near = word[:2] + word[3:]
    assert Spelling({}, [(word, False), (near, False)])[near] == near
    assert Spelling({}, [(word, True)])[word + "ing"] == word + "ing"


@pytest.mark.parametrize(
    "text",
    [
        "brk peddle goes to floor",
        "stearing wheel binds",
        "exaust leaks into the cabin",
        "seatblet is cut",
        "hod flies up",
    ],
)
def test_a_danger_is_found_in_words_spelled_wrong(text: str):
    assert any(True for lexicon in US.lexicons.root.values() for _ in find_dangers(text, lexicon))


@pytest.mark.parametrize("text", ["the brakes were tested while dropping a friend off", "zapatos para subir"])
def test_a_word_that_looks_like_a_danger_is_none(text: str):
    assert not any(True for lexicon in US.lexicons.root.values() for _ in find_dangers(text, lexicon))


def test_a_word_of_five_thousand_letters_takes_no_longer_than_a_long_word():
    """Only its beginning can be a word of the lexicon. Comparing all of it took 50 seconds."""
    spelling = Spelling({}, [("corrosion", True), ("fracture", False)])
    began = time.process_time()
    assert spelling["corrosoin" + "x" * 5_000] == "corrosion" + "x" * 5_000
    assert time.process_time() - began < 1
