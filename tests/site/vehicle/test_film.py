"""A film in a real browser: what it loads and when, chapters, captions, hosts and a folder, the page without scripts.

Outside sources: the browser's own WebVTT parser reads the files that we read; PyAV reads what is published; WCAG 2.2:
1.2.2 Captions, 1.4.2 Audio Control (nothing plays by itself), 2.1.1 Keyboard; schema.org: VideoObject, Clip.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import av
import pytest
from playwright.sync_api import Page, expect

from sitegen.commands.serving.preview_server import Showing, serving
from sitegen.reading.video.cues import read_cues
from tests.conftest import serve

VEHICLE = "vehicles/K102/index.html"
PLAYER = "#video .film-player"
DEFECTS = ["left-fog-light-lens", "right-rear-arch-rust", "left-roof-rail-faded", "underbody-weld-rust"]
CHAPTERS = ["Cold start", "Front", "left fog light", "wheel arch", "left roof rail", "left underbody rail"]

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


@pytest.fixture(params=["preview", "plain host", "folder"])
def anywhere(request, demo_site_built: Path) -> Iterator[str]:
    """Address of the demo site: on a host that sends parts of files, on one that does not, and in a folder."""
    if request.param == "preview":
        yield request.getfixturevalue("host")
    elif request.param == "folder":
        yield f"{demo_site_built.as_uri()}/"
    else:
        with serve(demo_site_built) as address:
            yield f"{address}/"


def shown(page: Page, player: str = PLAYER) -> dict[str, Any]:
    """Wait until a player shows a picture; return what it plays."""
    page.wait_for_function(
        "player => { const it = document.querySelector(player); return it.readyState >= 2 && it.currentTime > 0 }",
        arg=player,
    )
    return page.locator(player).evaluate(
        """player => ({
            size: [player.videoWidth, player.videoHeight], length: player.duration, src: player.currentSrc,
            captions: [...player.textTracks].filter(({mode}) => mode === "showing")
              .flatMap(({cues}) => [...cues].map(({text}) => text)),
        })"""
    )


@pytest.mark.parametrize("name", SOUND)
def test_a_browser_reads_every_sound_file_as_we_do(open_page, tmp_path, name):
    (tmp_path / "walk.vtt").write_text(SOUND[name], "utf-8", newline="")
    track = '<track kind="captions" srclang="en" label="English" src="walk.vtt">'
    page_text = f'<!doctype html><html lang="en"><title>Cues</title><video>{track}</video></html>'
    (tmp_path / "index.html").write_text(page_text, "utf-8")
    with serve(tmp_path) as address:
        cues = open_page(f"{address}/index.html").evaluate(CUES_OF_TRACK, ["captions", "en"])
    assert cues == read_by_us(SOUND[name])


def film_of(site: Path) -> dict:
    """Return the film as the page's JSON-LD states it."""
    text = (site / VEHICLE).read_text("utf-8")
    (data,) = (part.partition("</script>")[0] for part in text.split('type="application/ld+json">')[1:])
    return json.loads(data)["subjectOf"]


def test_what_is_published_is_h264_with_the_length_and_the_clips_that_the_page_states(demo_site_built):
    film = film_of(demo_site_built)
    assert film["@type"] == "VideoObject"
    with av.open(str(demo_site_built / "videos" / Path(film["contentUrl"]).name)) as opened_film:
        (video,), (sound,) = opened_film.streams.video, opened_film.streams.audio
        facts = (video.codec_context.name, video.codec_context.profile, video.width, video.height, sound.codec.name)
        assert facts == ("h264", "High", 1280, 720, "aac")
        assert f"PT{round(opened_film.duration / 1_000_000)}S" == film["duration"]
        assert not {"location", "creation_time"} & {key.lower() for key in opened_film.metadata}
    clips = film["hasPart"]
    assert all(words in clip["name"] for words, clip in zip(CHAPTERS, clips, strict=True))
    assert [clip["startOffset"] for clip in clips[1:]] == [clip["endOffset"] for clip in clips[:-1]]
    assert f"PT{clips[-1]['endOffset']}S" == film["duration"]


def test_nothing_of_the_source_is_published(demo_site_built):
    """The invented location of the demo's clips is in no file."""
    films = [path for path in (demo_site_built / "videos").iterdir() if path.suffix == ".mp4"]
    assert len(films) == 14
    assert not [path.name for path in films if b"+12.3456" in path.read_bytes()]
    assert not list(demo_site_built.rglob("*.MOV"))


@pytest.mark.parametrize("is_saving", [False, True])
def test_nothing_plays_by_itself_and_nothing_of_the_film_is_loaded_before_it_is_wanted(open_page, host, is_saving):
    page, asked = open_page("about:blank"), []
    page.on("request", lambda request: asked.append(Path(urlsplit(request.url).path).suffix))
    page.add_init_script(
        f"Object.defineProperty(navigator, 'connection', {{value: {{saveData: {str(is_saving).lower()}}}}})"
    )
    page.goto(f"{host}{VEHICLE}")
    player = page.locator(PLAYER)
    player.scroll_into_view_if_needed()
    page.wait_for_function("player => document.querySelector(player).poster", arg=PLAYER)
    page.locator("#film-chapters").click()
    assert ".mp4" not in asked
    assert player.evaluate("player => [player.paused, player.autoplay]") == [True, False]
    player.evaluate("player => player.play()")
    assert shown(page)["size"] == ([854, 480] if is_saving else [1280, 720])


def test_the_player_and_its_poster_have_the_shape_of_the_film(open_page, host):
    """HTML standard, 4.8.9: width and height give the ratio, so that nothing moves when the film arrives."""
    page = open_page(f"{host}{VEHICLE}", width=390)
    before = page.locator(PLAYER).bounding_box()
    page.locator(PLAYER).evaluate("player => player.play()")
    shown(page)
    after = page.locator(PLAYER).bounding_box()
    assert (before["width"], before["height"]) == (after["width"], after["height"])
    assert before["width"] / before["height"] == pytest.approx(1280 / 720, rel=0.01)


def test_every_chapter_plays_its_own_file_with_its_captions_anywhere(open_page, anywhere):
    page = open_page(f"{anywhere}{VEHICLE}")
    page.locator("#film-chapters").click()
    links = page.locator(".film-chapter > .film-seek").all()
    assert len(links) == len(CHAPTERS)
    captions = []
    for number, link in enumerate(links):
        link.focus()
        page.keyboard.press("Enter")
        page.wait_for_function(
            "([player, href]) => document.querySelector(player).currentSrc === new URL(href, location.href).href",
            arg=[PLAYER, link.get_attribute("href")],
        )
        playing = shown(page)
        assert playing["length"] == pytest.approx(4 if number in (2, 4) else 6, abs=0.15)
        assert playing["size"] == [1280, 720]
        captions.append(playing["captions"])
        expect(page.locator(".film-chapter.is-now")).to_have_attribute("id", f"film-{number}")
        pins = page.locator(".is-filmed-now").evaluate_all("pins => pins.map(({id}) => id)")
        assert pins == ([f"pin-{DEFECTS[number - 2]}"] if number > 1 else [])
    assert captions[2] == ["Here is the crack.", "A stone did that."]
    assert [len(each) for each in captions] == [0, 3, 2, 3, 0, 2]
    assert urlsplit(page.evaluate("location.href")).path.endswith(VEHICLE)


def test_after_a_chapter_the_next_one_plays(open_page, host):
    page = open_page(f"{host}{VEHICLE}")
    page.locator("#film-chapters").click()
    links = page.locator(".film-chapter > .film-seek")
    links.nth(2).click()
    shown(page)
    page.locator(PLAYER).evaluate("player => { player.currentTime = player.duration - 0.1 }")
    href = links.nth(3).get_attribute("href")
    page.wait_for_function(
        "([player, name]) => document.querySelector(player).currentSrc.endsWith(name)",
        arg=[PLAYER, Path(href).name],
    )


def test_seeking_in_the_whole_film_shows_each_chapter_and_its_captions(open_page, host):
    page = open_page(f"{host}{VEHICLE}")
    player = page.locator(PLAYER)
    player.evaluate("player => player.play()")
    playing = shown(page)
    assert playing["length"] == pytest.approx(32, abs=0.3)
    assert playing["captions"][-1] == "The metal under it is hard."
    for number, defect in enumerate(DEFECTS, start=2):
        starts = page.evaluate(
            "number => JSON.parse(document.querySelector('.film-data').textContent).clips[number].start", number
        )
        player.evaluate("(player, at) => { player.currentTime = at + 0.5 }", starts)
        expect(page.locator(".is-filmed-now")).to_have_id(f"pin-{defect}")


@pytest.mark.parametrize("defect", DEFECTS)
def test_the_clip_of_a_defect_plays_on_its_card_and_a_link_leads_into_the_film(open_page, host, defect):
    page = open_page(f"{host}{VEHICLE}", reduced_motion="reduce")
    card = page.locator(f"#{defect}")
    card.get_by_role("link", name="Play its clip").click()
    playing = shown(page, f"#{defect} video")
    assert playing["size"] == [1280, 720]
    expect(card.locator("video")).to_be_focused()
    card.locator("video").evaluate("player => player.pause()")
    card.locator(".ask-folded > summary").click()
    card.get_by_role("link", name="In the film, ").click()
    shown(page)
    expect(page.locator(PLAYER)).to_be_focused()
    expect(page.locator(PLAYER)).to_be_in_viewport()
    page.locator("#film-chapters").click()
    page.locator(f".film-chapter a[href='#{defect}']").click()
    expect(card).to_be_in_viewport()


def test_without_scripts_a_chapter_opens_its_file_and_the_player_has_its_captions(open_page, host):
    page = open_page(f"{host}{VEHICLE}", java_script_enabled=False)
    tracks = [(track.get_attribute("kind"), track.get_attribute("srclang")) for track in page.locator("track").all()]
    assert tracks == [("captions", "en"), ("captions", "es")]
    assert page.locator("track[default]").get_attribute("srclang") == "en"
    page.locator("#underbody-weld-rust").get_by_role("link", name="Play its clip").click()
    page.wait_for_url("**/videos/*.mp4")


@pytest.mark.parametrize(("language", "count"), [("en", 10), ("es", 10)])
def test_the_whole_film_s_captions_are_a_file_that_a_browser_reads_as_we_do(
    demo_site_built, open_page, language, count
):
    page_text = (demo_site_built / VEHICLE).read_text("utf-8")
    name = page_text.partition(f'.vtt" srclang="{language}"')[0].rpartition("/")[2]
    text = (demo_site_built / "videos" / f"{name}.vtt").read_text("utf-8")
    track = f'<track kind="captions" srclang="{language}" label="x" src="videos/{name}.vtt">'
    probe = demo_site_built / f"cues-{language}.html"  # its own: the other language may be asked at the same time
    probe.write_text(f"<!doctype html><title>Cues</title><video>{track}</video>", "utf-8")
    with serve(demo_site_built) as address:
        cues = open_page(f"{address}/{probe.name}").evaluate(CUES_OF_TRACK, ["captions", language])
    probe.unlink()
    assert cues == read_by_us(text)
    assert len(cues) == count


def test_the_description_is_the_page_s_own_and_is_called_what_it_is(open_page, host):
    page = open_page(f"{host}es/{VEHICLE}")
    expect(page.locator("#film-chapters")).to_have_text("Capítulos, y una descripción de lo que muestra el video")
    assert page.locator("#video [lang]").count() == 0
    card = page.locator("#left-fog-light-lens").text_content()
    described = page.locator("#film-2 .film-described p").first.text_content()
    assert described
    assert described in card
    assert page.locator("#film-4 .film-described").text_content().rstrip().endswith("Sin palabras.")


def test_on_paper_there_are_the_words_without_the_player(open_page, host):
    page = open_page(f"{host}{VEHICLE}")
    page.emulate_media(media="print")
    expect(page.locator(PLAYER)).to_be_hidden()
    expect(page.locator(".film-described").nth(2)).to_be_visible()


def test_a_page_without_a_film_has_no_room_for_one(open_page, host):
    page = open_page(f"{host}vehicles/K101/index.html")
    assert page.locator("#video, video, a[href='#video'], .film-clip").count() == 0
