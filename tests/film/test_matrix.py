"""Films as phones and cameras write them, through the whole build: read by PyAV and played in a browser.

Six vehicles have five clips each, of any container, coding, depth, transfer, rotation, rate, sound and damage.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

from sitegen.commands.serving.preview_server import Showing, serving
from sitegen.film.probing import probe
from sitegen.film.program import FilmError
from tests.builders import write_store
from tests.conftest import run_sitegen
from tests.film.films import PROGRAM, Film, make_film
from tests.inventories import numbered_vin

SMALL, UPRIGHT = (320, 180), (180, 320)
VEHICLES: dict[str, tuple[Film, ...]] = {
    "M0": (
        Film("plain.mp4", size=SMALL),
        Film("phone.mov", "hevc", size=UPRIGHT, depth=10, transfer="hlg", rotation=270),
        Film("hdr10.mp4", "hevc", size=SMALL, depth=10, transfer="pq"),
        Film("dolby.mov", "hevc", SMALL, depth=10, transfer="hlg", options=("-tag:v", "hvc1"), dolby_vision=(8, 4)),
        Film("hev1.mp4", "hevc", size=SMALL, sound="stereo", options=("-tag:v", "hev1")),
    ),
    "M1": (
        Film("upright.mov", size=SMALL, rotation=90),
        Film("hevc-10.mov", "hevc", size=SMALL, depth=10, rotation=90),
        Film("selfie.mp4", size=SMALL, rotation=90, mirrored=True),
        Film("h264-10.mov", size=UPRIGHT, depth=10),
        Film("turned.mov", "hevc", size=SMALL, depth=10, transfer="hlg", rotation=270, sound="none"),
    ),
    "M2": (
        Film("vp9.webm", "vp9", size=SMALL),
        Film("vp9-10.webm", "vp9", size=SMALL, depth=10, transfer="hlg", options=("-profile:v", "2")),
        Film("av1.webm", "av1", size=SMALL, sound="none"),
        Film("av1.mp4", "av1", size=SMALL, depth=10),
        Film("mirrored.mov", size=SMALL, mirrored=True),
    ),
    "M3": (
        Film("old.3gp", "h263", size=(176, 144), rate="15"),
        Film("old-mpeg4.3gp", "mpeg4", size=(176, 144), rate="15"),
        Film("upside-down.mp4", size=(176, 144), rotation=180),
        Film("wide-pixels.mp4", size=(132, 144), options=("-aspect", "4:3")),
        Film("odd.mp4", size=(178, 146)),
    ),
    "M4": (
        Film("4k.mov", size=(3840, 2160), seconds=0.5),
        Film("60.mov", "hevc", size=SMALL, rate="60"),
        Film("240.mov", size=SMALL, rate="240", seconds=1),
        Film("film-rate.mp4", size=SMALL, rate="24000/1001"),
        Film("uneven.mov", size=SMALL, options=("-vf", "select='mod(n,7)*mod(n,3)'", "-fps_mode", "vfr")),
    ),
    "M5": (
        Film("silent.mp4", size=SMALL, sound="silent"),
        Film("quiet.mp4", size=SMALL, sound="quiet", seconds=4),
        Film("fragmented.mp4", size=SMALL, options=("-movflags", "frag_keyframe+empty_moov")),
        Film("hole.mp4", size=SMALL, damage="zeros", options=("-g", "10", "-movflags", "+faststart")),
        Film("cut.mp4", size=SMALL, damage="cut", options=("-g", "10", "-movflags", "+faststart")),
    ),
}  # fmt: skip
REFUSED = Film("unfinished.mov", size=SMALL, damage="no index")
WITHOUT_BASE = Film("profile-5.mov", "hevc", size=SMALL, depth=10, options=("-tag:v", "hvc1"), dolby_vision=(5, 0))
SHOWN = ({"station": "front"}, {"station": "left side"}, {"station": "rear"}, {"station": "cabin"})
"""What the first four clips of a vehicle show; the last one shows the defect, which comes second in the film."""
IN_FILM = (0, 4, 1, 2, 3)
FILMS = [
    pytest.param(stock, IN_FILM.index(place), film, id=film.name)
    for stock, films in VEHICLES.items()
    for place, film in enumerate(films)
]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, subprocess.CompletedProcess[str]]:
    """The folder of the published site, and what the build said."""
    folder = tmp_path_factory.mktemp("matrix") / "store"
    everything = {**VEHICLES, "M8": (REFUSED,), "M9": (WITHOUT_BASE,)}
    write_store(folder, [_vehicle(number, stock, films) for number, (stock, films) in enumerate(everything.items())])
    for stock, films in everything.items():
        place = folder / "vehicles" / stock / "film"
        place.mkdir()
        for film in films:
            make_film(film, place)
            text = f"WEBVTT\n\n00:00.000 --> 00:04.000\nThis is {film.name}.\n"
            (place / f"{film.name}.vtt").write_text(text)
    return folder / "published", run_sitegen("build", folder, "--leave-out-faulty")


def _vehicle(number: int, stock: str, films: tuple[Film, ...]) -> dict[str, Any]:
    shown = (*SHOWN[: len(films) - 1], {"defect": "fog-light-lens"})
    clips = [
        {"file": film.name, **what, "captions": {"en": f"{film.name}.vtt"}}
        for film, what in zip(films, shown, strict=True)
    ]
    return {"stock": stock, "vin": numbered_vin(7000 + number), "film": {"clips": clips}}


def film_data(site: Path, stock: str) -> dict[str, Any]:
    """Return the data of the film's script, from a vehicle's page."""
    page = (site / "vehicles" / stock / "index.html").read_text("utf-8")
    data: dict[str, Any] = json.loads(page.partition('class="film-data">')[2].partition("</script>")[0])
    return data


@pytest.mark.parametrize(("stock", "number", "film"), FILMS)
def test_a_film_of_any_phone_becomes_the_film_that_every_browser_plays(built, stock, number, film):
    """Upright, H.264 High 4:2:0 8 bit, 30 frames a second, AAC, the captions' time, and no metadata."""
    site, _ = built
    clip = film_data(site, stock)["clips"][number]
    published = site / "vehicles" / stock / clip["src"]
    with av.open(str(published)) as coded:
        video, (sound,) = coded.streams.video[0], coded.streams.audio
        pictures = [picture.to_ndarray(format="rgb24") for picture in coded.decode(video=0)]
        metadata = {**coded.metadata, **video.metadata}
        context = video.codec_context
        assert (context.profile, context.pix_fmt, float(video.average_rate)) == ("High", "yuv420p", 30)
        assert sound.codec_context.name == "aac"
    expected = film.seconds * 30
    assert len(pictures) == pytest.approx(expected * (0.6 if film.damage == "cut" else 1), abs=max(4, expected * 0.1))
    assert len(pictures) / 30 == pytest.approx(clip["end"] - clip["start"], abs=0.05)
    assert not {"location", "creation_time", "title"} & {key.lower() for key in metadata}
    assert b"+40.12" not in published.read_bytes()
    assert clip["captions"]["en"] == [[0, 4, f"This is {film.name}."]]
    _assert_upright(pictures[len(pictures) // 2], film)


def _assert_upright(picture: np.ndarray, film: Film) -> None:
    """Assert that the left upper quarter alone is red: colors within the error of coding.

    A film of another shape than its vehicle's stands in the middle of the picture.
    """
    width, height = film.upright if film.name != "wide-pixels.mp4" else (176, 144)
    whole_height, whole_width = picture.shape[:2]
    scale = min(whole_width / width, whole_height / height)
    left, top = (whole_width - width * scale) / 2, (whole_height - height * scale) / 2
    shown = picture[round(top) : round(top + height * scale), round(left) : round(left + width * scale)]
    height, width = shown.shape[:2]
    quarter = shown[height // 8 : height * 3 // 8, width // 8 : width * 3 // 8].reshape(-1, 3).mean(axis=0)
    rest = shown[height * 5 // 8 : height * 7 // 8, width * 5 // 8 : width * 7 // 8].reshape(-1, 3).mean(axis=0)
    tolerance = 14 if film.transfer == "sdr" else 22
    assert quarter == pytest.approx([0xB0, 0x30, 0x20], abs=tolerance)
    assert rest == pytest.approx([0x40, 0x60, 0x40], abs=tolerance)


def test_a_film_without_a_usable_picture_is_a_problem_in_words(built):
    """The build goes on without the two vehicles, and says for each file what is wrong."""
    site, done = built
    assert "M8/film/unfinished.mov: found a film which is damaged, or holds no picture" in done.stderr
    assert "M9/film/profile-5.mov: found a film whose colors are in a form without a base layer" in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(path.name for path in (site / "vehicles").iterdir() if path.name.startswith("M")) == [*VEHICLES]
    with pytest.raises(FilmError, match="base layer"):
        probe(PROGRAM, site.parent / "vehicles" / "M9" / "film" / "profile-5.mov")


@pytest.fixture(scope="module")
def address(built: tuple[Path, object]) -> Iterator[str]:
    """Address of the site on a host that sends parts of files: without them no browser seeks in a whole film."""
    with serving(Showing(built[0]), 0) as address:
        yield address


PLAYED = """
async (player) => {
  const clips = JSON.parse(document.querySelector(".film-data").textContent).clips
  const once = (event) => new Promise((resolve) => player.addEventListener(event, resolve, { once: true }))
  const loaded = once("loadeddata")
  player.muted = true
  await Promise.all([loaded, player.play()])
  player.pause()
  const canvas = new OffscreenCanvas(player.videoWidth, player.videoHeight)
  const paper = canvas.getContext("2d", { willReadFrequently: true })
  const seen = []
  for (const { start, end } of clips) {
    const sought = once("seeked")
    player.currentTime = (start + end) / 2
    await sought
    paper.drawImage(player, 0, 0)
    const [track] = player.textTracks
    const isThere = ({ startTime, endTime }) => startTime <= player.currentTime && player.currentTime < endTime
    // The browser brings the cues of a new place a moment after the picture.
    while (![...track.activeCues].some(isThere)) await new Promise(requestAnimationFrame)
    const captions = [...track.activeCues].map(({ text }) => text)
    const pixel = [...paper.getImageData(canvas.width * 0.4, canvas.height * 0.4, 1, 1).data].slice(0, 3)
    seen.push({ captions, mode: track.mode, pixel })
  }
  return { size: [player.videoWidth, player.videoHeight], length: player.duration, end: clips.at(-1).end, seen }
}
"""


@pytest.mark.parametrize("stock", VEHICLES)
def test_a_browser_plays_each_film_and_seeks_to_each_chapter(address, open_page, stock):
    """Size, duration, the upright picture of each chapter, and its captions, which are on."""
    page = open_page(f"{address}vehicles/{stock}/index.html")
    played = page.locator("#video .film-player").evaluate(PLAYED)
    films = [VEHICLES[stock][place] for place in IN_FILM]
    size = {"M0": (320, 180), "M1": (180, 320), "M2": (320, 180), "M3": (178, 146), "M4": (1280, 720)}
    assert tuple(played["size"]) == size.get(stock, (320, 180))
    assert played["length"] == pytest.approx(played["end"], abs=0.1)
    for film, seen in zip(films, played["seen"], strict=True):
        assert (seen["captions"], seen["mode"]) == ([f"This is {film.name}."], "showing")
        red, green, blue = seen["pixel"]
        assert red > 130 > 90 > max(green, blue), film.name
