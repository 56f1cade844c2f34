"""A filmed walk-around in a real browser: loading, tracks, chapters, and the page without scripts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from sitegen.commands.serving.preview_server import Showing, serving
from sitegen.reading.video.cues import read_cues
from tests.conftest import REPOSITORY, serve

VIDEO_FOLDER = REPOSITORY / "demo_site" / "vehicles" / "K102" / "video"
VEHICLE = "vehicles/K102/index.html"
PLAYER = ".walk-around-player"
DEFECTS = ["left-fog-light-lens", "right-rear-arch-rust", "left-roof-rail-faded", "underbody-weld-rust"]

CUES_OF_TRACK = """
async ([kind, language]) => {
  const track = document.querySelector(`track[kind=${kind}][srclang=${language}]`)
  const loaded = new Promise((resolve, reject) => {
    track.addEventListener('load', resolve)
    track.addEventListener('error', () => reject(new Error(track.src)))
  })
  if (track.readyState !== HTMLTrackElement.LOADED) {
    track.track.mode = 'hidden'
    await loaded
  }
  return Array.from(track.track.cues, (cue) => [
    cue.id, Math.round(cue.startTime * 1000), Math.round(cue.endTime * 1000), cue.getCueAsHTML().textContent,
  ])
}
"""

# Sound files, each with something that a reader may take otherwise than a browser does.
SOUND = {
    "tags and escapes": "WEBVTT\n\n00:00.000 --> 00:01.000\n<v Dana><b.loud>4/32</b> &lt; 5/32 &amp; even</v>\n",
    "two lines, a name, settings": "WEBVTT\n\nrear\n00:00.000 --> 00:01.000 align:start line:0\nRear,\nleft lamp\n",
    "hours": "WEBVTT\n\n1:00:00.250 --> 100:00:01.000\nLong\n\n101:00:00.000 --> 101:00:01.000\nLonger\n",
    "ends of lines": "\ufeffWEBVTT - it\r\n\r\n00:00.000 --> 00:01.000\r\nA\r\n\r\n\r\n00:01.000-->00:02.000\r\nB",
    "comments and styles": "WEBVTT\n\nSTYLE\n::cue {}\n\nNOTE\nFor us\n\n00:00.000 --> 00:01.000\nRear\n\nNOTE end\n",
    "at one time": "WEBVTT\n\n00:00.000 --> 00:02.000\nFront\n\n00:00.000 --> 00:01.000\n<00:00:00.500>Hood\n",
}


def read_by_us(text: str) -> list[list[object]]:
    cues, problems = read_cues(text.removeprefix("\ufeff"), "walk.vtt")
    assert problems == []
    return [[placed.cue.name, placed.cue.start, placed.cue.end, placed.cue.text] for placed in cues]


@pytest.fixture(scope="module")
def host(demo_site_built: Path) -> Iterator[str]:
    """Address of the demo site on a host that sends parts of files, as nearly all do: the preview's own."""
    with serving(Showing(demo_site_built), 0) as address:
        yield address


def opened(open_page, address: str, **options: object) -> tuple[Page, list[str]]:
    """Open a page; return it with the list of the files of videos that it asks for, which grows."""
    page, asked = open_page("about:blank", **options), []
    page.on("request", lambda request: asked.append(Path(urlsplit(request.url).path).suffix))
    page.goto(address)
    return page, asked


@pytest.mark.parametrize(
    ("kind", "language", "file"),
    [
        ("captions", "en", "walk.en.vtt"),
        ("captions", "es", "walk.es.vtt"),
        ("chapters", "en", "walk-chapters.en.vtt"),
        ("chapters", "es", "walk-chapters.es.vtt"),
    ],
)
def test_each_track_loads_and_the_browser_reads_in_it_what_we_read(open_page, host, kind, language, file):
    page = open_page(f"{host}{VEHICLE}")
    cues = page.evaluate(CUES_OF_TRACK, [kind, language])
    assert cues == read_by_us((VIDEO_FOLDER / file).read_text("utf-8"))
    assert len(cues) == 8


@pytest.mark.parametrize("name", SOUND)
def test_a_browser_reads_every_sound_file_as_we_do(open_page, tmp_path, name):
    (tmp_path / "walk.vtt").write_text(SOUND[name], "utf-8", newline="")
    track = '<track kind="captions" srclang="en" label="English" src="walk.vtt">'
    page_text = f'<!doctype html><html lang="en"><title>Cues</title><video>{track}</video></html>'
    (tmp_path / "index.html").write_text(page_text, "utf-8")
    with serve(tmp_path) as address:
        cues = open_page(f"{address}/index.html").evaluate(CUES_OF_TRACK, ["captions", "en"])
    assert cues == read_by_us(SOUND[name])


def test_nothing_plays_by_itself_and_nothing_of_the_video_is_loaded_before_it_is_wanted(open_page, host):
    page, asked = opened(open_page, f"{host}{VEHICLE}")
    player = page.locator(PLAYER)
    player.scroll_into_view_if_needed()
    page.evaluate(CUES_OF_TRACK, ["captions", "en"])
    assert ".webm" not in asked
    assert player.evaluate("player => [player.paused, player.autoplay, player.networkState]") == [True, False, 1]
    page.locator("#video-chapters").click()
    page.locator(".walk-around-chapter a").first.click()
    page.wait_for_function("player => document.querySelector(player).readyState > 0", arg=PLAYER)
    assert ".webm" in asked


def test_the_player_keeps_its_room_from_the_start(open_page, host):
    """HTML standard, 4.8.9: width and height give the ratio, so that nothing moves when the video arrives."""
    page = open_page(f"{host}{VEHICLE}", width=390)
    before = page.locator(PLAYER).bounding_box()
    page.locator("#video-chapters").click()
    page.locator(".walk-around-chapter a").first.click()
    page.wait_for_function("player => document.querySelector(player).readyState > 0", arg=PLAYER)
    after = page.locator(PLAYER).bounding_box()
    assert (before["width"], before["height"]) == (after["width"], after["height"])
    assert before["width"] / before["height"] == pytest.approx(640 / 480, rel=0.01)


def test_a_chapter_takes_the_player_to_its_place_by_keyboard(open_page, host):
    page = open_page(f"{host}{VEHICLE}")
    page.locator("#video-chapters").click()
    chapter = page.get_by_role("link", name="0:15 Right side")
    chapter.focus()
    page.keyboard.press("Enter")
    wait_for_time(page, 15)
    expect(chapter).to_be_focused()
    assert urlsplit(page.evaluate("location.href")).path.endswith(VEHICLE)


def wait_for_time(page: Page, seconds: int) -> None:
    """Wait until the player shows what is at a time: it has come there, and the picture has been found."""
    found = "([player, at]) => (({currentTime, seeking}) => currentTime >= at && currentTime < at + 3 && !seeking)"
    page.wait_for_function(f"{found}(document.querySelector(player))", arg=[PLAYER, seconds])


@pytest.mark.parametrize(("defect", "seconds"), [*zip(DEFECTS, (3, 12, 18, 21), strict=True)])
def test_a_defect_leads_to_its_place_in_the_video_and_the_place_to_the_defect(open_page, host, defect, seconds):
    page = open_page(f"{host}{VEHICLE}", reduced_motion="reduce")
    card = page.locator(f"#{defect}")
    card.locator(".ask-folded > summary").click()
    card.get_by_role("link", name="In the video, ").click()
    wait_for_time(page, seconds)
    expect(page.locator(PLAYER)).to_be_focused()
    expect(page.locator(PLAYER)).to_be_in_viewport()
    page.locator("#video-chapters").click()
    page.locator(f".walk-around-chapter a[href='#{defect}']").click()
    expect(card).to_be_in_viewport()
    page.wait_for_url(lambda address: urlsplit(address).fragment == defect)


def test_without_scripts_a_chapter_opens_the_file_at_its_place(open_page, host):
    page = open_page(f"{host}{VEHICLE}", java_script_enabled=False)
    card = page.locator("#underbody-weld-rust")
    card.locator(".ask-folded > summary").click()
    card.get_by_role("link", name="In the video, 0:21").click()
    page.wait_for_url("**/videos/*.webm#t=21")


def test_without_scripts_the_words_are_there_and_the_player_has_its_tracks(open_page, host):
    page = open_page(f"{host}{VEHICLE}", java_script_enabled=False)
    words = page.locator(".walk-around-transcript")
    expect(words.get_by_text("Made of still photos, without sound. We start at the front.")).to_be_hidden()
    page.locator("#video-chapters").click()
    expect(words.get_by_text("Made of still photos, without sound. We start at the front.")).to_be_visible()
    assert words.locator("p").count() == 8
    tracks = [(track.get_attribute("kind"), track.get_attribute("srclang")) for track in page.locator("track").all()]
    assert tracks == [("captions", "en"), ("captions", "es"), ("chapters", "en"), ("chapters", "es")]
    assert page.locator("track[default]").get_attribute("srclang") == "en"


def test_in_spanish_the_captions_chapters_and_words_are_spanish(open_page, host):
    page = open_page(f"{host}es/{VEHICLE}")
    assert page.locator("track[default]").get_attribute("srclang") == "es"
    expect(page.locator(".walk-around-chapter").first).to_contain_text("Frente")
    expect(page.locator(".walk-around-transcript p").first).to_contain_text("Hecho de fotos fijas, sin sonido.")
    assert page.locator("#video [lang]").count() == 0


def test_on_paper_there_are_the_words_without_the_player(open_page, host):
    page = open_page(f"{host}{VEHICLE}")
    page.emulate_media(media="print")
    expect(page.locator(PLAYER)).to_be_hidden()
    expect(page.locator(".walk-around-transcript p").first).to_be_visible()


def test_a_page_without_a_video_has_no_player(open_page, host):
    page = open_page(f"{host}vehicles/K101/index.html")
    assert page.locator("#video, video, a[href='#video']").count() == 0
