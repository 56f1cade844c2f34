"""Clips in any order become one film in the order of the walk, with chapters and captions at their places."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from sitegen.film.walk_order import captions_of, chapters_of, in_walk_order, webvtt
from sitegen.reading.video.cues import read_cues
from sitegen.records.film import FILM_ORDER, Cue, FilmClip

DEFECTS = {"lens": (1, "front"), "arch": (2, "right rear"), "welds": (4, "underside"), "seal": (3, "underside")}
THINGS = [{"station": station} for station in FILM_ORDER] + [{"defect": defect} for defect in (*DEFECTS, "gone")]
clips_shown = st.lists(st.sampled_from(THINGS), min_size=1, max_size=20)
texts = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1).filter(str.strip)


def clip(shown, file="a.mov"):
    return FilmClip.model_validate({"file": file, **shown})


def test_a_cold_start_comes_first_and_a_defect_behind_its_station():
    shown = [
        {"defect": "welds"},
        {"station": "underside"},
        {"defect": "seal"},
        {"station": "front"},
        {"defect": "lens"},
    ]
    ordered = in_walk_order([clip(each) for each in [*shown, {"station": "cold start"}]], DEFECTS)
    assert [each.station or each.defect for each in ordered] == [
        "cold start", "front", "lens", "underside", "seal", "welds",
    ]  # fmt: skip


@given(clips_shown, st.randoms())
def test_every_clip_is_shown_once_in_whatever_order_it_was_filmed(shown, chance):
    """Sorting loses nothing, and is the same for any order of different things."""
    clips = [clip(each, f"{place}.mov") for place, each in enumerate(shown)]
    ordered = in_walk_order(clips, DEFECTS)
    assert sorted(each.file for each in ordered) == sorted(each.file for each in clips)
    mixed = list(clips)
    chance.shuffle(mixed)
    things = [each.station or each.defect for each in ordered]
    assert [each.station or each.defect for each in in_walk_order(mixed, DEFECTS)] == things


@given(st.lists(st.integers(1, 60_000), min_size=1, max_size=12))
def test_chapters_follow_each_other_without_a_gap(lengths):
    chapters = chapters_of([clip({"station": "front"})] * len(lengths), lengths)
    assert chapters[0].start == 0
    assert [chapter.end for chapter in chapters[:-1]] == [chapter.start for chapter in chapters[1:]]
    assert chapters[-1].end == sum(lengths)


@given(st.lists(st.tuples(st.integers(0, 9_000), st.integers(1, 9_000), texts), min_size=1, max_size=6))
def test_written_captions_are_read_back_unchanged(spoken):
    """Whatever is said, with signs, arrows and gaps, our own reader finds it at its time."""
    cues = [Cue("", start, start + length, text) for start, length, text in sorted(spoken)]
    read, problems = read_cues(webvtt(cues), "walk.vtt")
    assert not problems
    assert [(each.cue.start, each.cue.end) for each in read] == [(cue.start, cue.end) for cue in cues]
    words = ["".join(cue.text.split()) for cue in cues]
    assert ["".join(each.cue.text.split()) for each in read] == words


def test_captions_of_a_clip_stand_at_its_place_and_end_with_it():
    chapters = chapters_of([clip({"station": "front"}), clip({"station": "rear"})], [2_000, 3_000])
    spoken = [[Cue("", 500, 2_500, "Front.")], [Cue("", 0, 1_000, "Rear."), Cue("", 3_500, 4_000, "Too late.")]]
    assert captions_of(chapters, spoken) == [Cue("", 500, 2_000, "Front."), Cue("", 2_000, 3_000, "Rear.")]
