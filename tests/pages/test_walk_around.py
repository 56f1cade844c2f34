"""The view of a filmed walk-around: transcript, chapters and languages."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.pages.composing import translator_for
from sitegen.pages.frame.addresses import Address
from sitegen.pages.language.translator import Text
from sitegen.pages.vehicle.walk_around import WalkAroundView, paragraphs, walk_around_view
from sitegen.photos.planning.pictures import Pictures
from sitegen.reading.reference.figures import read_figures
from sitegen.records.store import Region
from sitegen.records.walk_around import Cue, CueFile, Footage
from sitegen.shared_data import content_folder
from tests.builders import a_vehicle, some_settings

CUES = (
    Cue("", 0, 2_000, "We start\nat the front."),
    Cue("", 2_000, 4_000, "The hood is straight."),
    Cue("rear-lamps", 64_500, 66_000, "The rear lamps."),
)


def a_view(language: str = "en", languages: tuple[str, ...] = ("en",), **walk: object) -> WalkAroundView:
    """Return the view of a walk-around in a language, filmed by a store that speaks English, with files in others."""
    files = {tag: CueFile(Path(f"{tag}.vtt"), f"{tag:0<64}", CUES) for tag in languages}
    named = {tag: f"{tag}.vtt" for tag in languages}
    record = a_vehicle(photos=(), walk_around={"file": "w.mp4", "captions": named, "chapters": named, **walk})
    footage = Footage(Path("w.mp4"), "f" * 64, "video/mp4", 720, 1280, 84_300, captions=files, chapters=files)
    figures = read_figures(content_folder(), Region.UNITED_STATES)
    translator = translator_for(language, some_settings(languages=["en", "es", "de"]), figures)
    at = Address("vehicles/K900/index.html")
    return walk_around_view(record, footage, Pictures(Path(), {}), {"rear-lamps": 3}, at, translator)


@pytest.mark.parametrize(
    ("begins", "expected"),
    [
        ((), ["We start at the front. The hood is straight.", "The rear lamps."]),
        ((0, 2_000, 64_000), ["We start at the front.", "The hood is straight.", "The rear lamps."]),
    ],
)
def test_captions_are_paragraphs_that_end_at_a_chapter_and_at_a_pause(begins, expected):
    assert paragraphs(CUES, begins) == expected


def test_a_chapter_links_to_its_time_and_to_its_defect():
    """Media Fragments URI 1.0 (W3C), 4.2.1: `#t=64.5` is 64 and a half seconds from the beginning."""
    first, *_, last = a_view().chapters
    assert (first.time, first.defect, first.defect_words) == ("0:00", None, None)
    assert last.href == "../../videos/ffffffffffffffffffff.mp4#t=64.5"
    assert (last.time, last.defect, last.defect_words) == ("1:04", "rear-lamps", "Defect 3")
    assert a_view().chapter_of("rear-lamps") == last
    assert a_view().chapter_of("hood-dent") is None


@pytest.mark.parametrize(
    ("language", "languages", "spoken"),
    [("es", ("en", "es"), "es"), ("es", ("de", "en"), "en"), ("es", ("de",), "de")],
)
def test_captions_and_words_are_in_the_page_s_language_or_the_store_s_or_any(language, languages, spoken):
    view = a_view(language, languages)
    assert [track.tag for track in view.tracks if track.is_default] == [spoken]
    marked = None if spoken == language else spoken
    assert {told.language for told in view.transcript} == {marked}
    assert {chapter.title.language for chapter in view.chapters} == {marked}


def test_the_stores_transcript_replaces_the_captions():
    own = {"en": "We start at the\nfront.\n\nThen the rear."}
    assert a_view(transcript=own).transcript == (Text("We start at the front.", None), Text("Then the rear.", None))
    assert {told.language for told in a_view("es", ("en", "es"), transcript=own).transcript} == {"en"}


# CLDR, long forms of the units duration-minute and duration-second.
@pytest.mark.parametrize(
    ("language", "said"), [("en", "It lasts 1 minute and 24 seconds,"), ("es", "Dura 1 minuto y 24 segundos,")]
)
def test_the_length_of_the_film_is_in_words(language, said):
    assert said in a_view(language).introduction
