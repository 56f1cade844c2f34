"""One long film through the desk's film page: taps become chapters, phrases captions, and the saved file a visit."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.builders import write_store
from tests.conftest import REPOSITORY, run_sitegen
from tests.film.films import PROGRAM

AXE = (REPOSITORY / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
SECONDS = 8
SPOKEN = "aevalsrc='0.3*sin(2*PI*300*t)*gt(mod(t,2),0.4)*lt(mod(t,2),1.6)':s=48000"
"""A tone from 0.4 to 1.6 s of every two seconds, and silence between."""
PHRASES = ("The front.", "The lens < cracked, 7/32.", "The rear & nothing.", "")


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = write_store(tmp_path_factory.mktemp("film-page") / "store", settings={"languages": ["en", "es"]})
    done = run_sitegen("desk", folder)
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film whose picture and sound tell the time: gray becomes lighter, and a tone sounds in each two seconds."""
    file = tmp_path_factory.mktemp("film") / "IMG_0420.mp4"
    picture = f"color=c=black:s=320x180:r=30,geq=lum='16+T*200/{SECONDS}':cb=128:cr=128"
    command = [PROGRAM.path, "-v", "error", "-f", "lavfi", "-i", picture, "-f", "lavfi", "-i", SPOKEN]
    command += [
        "-t",
        str(SECONDS),
        "-c:v",
        "libx264",
        "-pix_fmt",
        "yuv420p",
        "-movflags",
        "+faststart",
        "-c:a",
        "aac",
    ]
    subprocess.run([*map(str, command), str(file)], check=True)
    return file


def page_of(store: Path, language: str = "en") -> str:
    return (store / "desk" / "sales" / "films" / f"K900.{language}.html").as_uri()


def tap_at(page: Page, seconds: float, words: str) -> float:
    """Tap a line when the playing film has reached a time; return the film's time at the tap."""
    page.wait_for_function("at => document.querySelector('video').currentTime >= at", arg=seconds)
    page.get_by_role("button", name=words, exact=True).click()
    shown = page.get_by_label(f"Begins at: {words}", exact=True).input_value()
    minutes, rest = shown.split(":")
    return int(minutes) * 60 + float(rest)


def test_taps_and_phrases_become_a_film_with_chapters_and_captions(store, film, open_page, tmp_path):
    page = open_page(page_of(store), 390, 844, accept_downloads=True)
    expect(page.locator("#film-missing")).to_contain_text("Cracked lens, left fog light")
    page.locator("#film-file").set_input_files(film)
    expect(page.locator("#film-told")).to_have_text("IMG_0420.mp4 is open.")
    lens = "Defect 1 is here: Cracked lens, left fog light"
    page.locator("video").evaluate("player => player.play()")
    taps = [tap_at(page, 0.1, "Front"), tap_at(page, 2, lens), tap_at(page, 4, "Rear")]
    page.locator("video").evaluate("player => player.pause()")
    expect(page.locator("#film-missing")).to_have_text("Every defect has a chapter.")

    page.get_by_role("button", name="Find the pauses").click()
    expect(page.locator("#speech-told")).to_have_text("Phrases found: 4.")
    for number, words in enumerate(PHRASES, start=1):
        field = page.get_by_label(f"Phrase {number}", exact=True)
        assert float(page.get_by_label(f"Phrase {number}, begins").input_value()[2:]) == pytest.approx(
            2 * number - 1.6, abs=0.15
        )
        field.fill(words)
        field.press("Enter")
    assert page.evaluate(f"async () => {{ {AXE}; return (await axe.run()).violations.map(({{id}}) => id) }}") == []
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save the film").click()
    saved = tmp_path / saving.value.suggested_filename
    saving.value.save_as(saved)

    assert re.fullmatch(r"K900-film-\d{4}-\d\d-\d\d-\d{4}\.zip", saved.name)
    done = run_sitegen("intake", store, saved, env={"SOURCE_DATE_EPOCH": "1900000000"})
    assert done.returncode == 0, done.stderr
    built = run_sitegen("build", store, env={"SOURCE_DATE_EPOCH": "1900000000"})
    assert built.returncode == 0, built.stderr
    assert '"7/32" in what is said' not in built.stderr
    shown = (store / "published" / "vehicles" / "K900" / "index.html").read_text("utf-8")
    clips = json.loads(shown.partition('class="film-data">')[2].partition("</script>")[0])["clips"]
    assert [clip["defect"] for clip in clips] == [None, "fog-light-lens", None]
    ends = [*taps[1:], SECONDS]
    for clip, start, end in zip(clips, taps, ends, strict=True):
        assert clip["end"] - clip["start"] == pytest.approx(end - start, abs=0.15)
    assert [[text for *_, text in clip["captions"]["en"]] for clip in clips] == [[words] for words in PHRASES[:3]]
    assert clips[1]["captions"]["en"][0][0] == pytest.approx(2.4 - taps[1], abs=0.2)


def test_taps_beside_the_camera_are_marked_by_its_clock_and_kept(store, open_page):
    """The film is chosen later; what was tapped is there again after the tab was closed."""
    page = open_page("about:blank", 390, 844)
    page.clock.install()
    page.goto(page_of(store, "es"))
    page.get_by_text("Marcar mientras graba la cámara").click()
    page.get_by_role("button", name="La cámara empieza ahora").click()
    page.clock.run_for(3_000)
    page.get_by_role("button", name="Ruedas").click()
    page.clock.run_for(62_000)
    page.get_by_role("button", name="El defecto 1 está aquí").click()
    page.get_by_label("Segundos desde este toque hasta que la cámara empezó").fill("1,5")
    page.get_by_label("Segundos desde este toque hasta que la cámara empezó").press("Tab")
    page.reload()
    times = page.locator("#film-chapters input").evaluate_all("fields => fields.map(({value}) => value)")
    first, second = (int(time[0]) * 60 + float(time[2:]) for time in times)
    assert (first, second) == pytest.approx((1.5, 63.5), abs=0.9)
    page.get_by_role("button", name="Guardar el video").click()
    expect(page.locator("#film-saved")).to_contain_text("Elija primero el video")
