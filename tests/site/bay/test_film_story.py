"""Eight clips on a phone's bay page, one of them filmed again, to a film that plays anywhere with its chapters right.

PyAV tells the clips apart by their color, in the zip and as they are published.
"""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import av
import pytest
import yaml
from playwright.sync_api import Page, expect

from tests.conftest import run_sitegen, serve
from tests.film.films import PROGRAM
from tests.site.bay.hand import Hand
from tests.site.bay.test_bay_story import DEFECTS, PHONE, enter_defects, enter_vehicle

SHOWN = (
    *("Arranque en frío", "Frente", "Lado izquierdo", "Parte trasera", "Parte de abajo"),
    *(f"Defecto {number}: {defect[2]}" for number, defect in enumerate(DEFECTS[:3], start=1)),
)
"""The stations and defects that are filmed, by their names on the page."""
GRAYS = {words: 40 + 22 * place for place, words in enumerate(SHOWN)}
AGAIN, GRAY_AGAIN = "Lado izquierdo", 225
ORDER = (
    "Arranque en frío",
    "Frente",
    SHOWN[5],
    "Lado izquierdo",
    SHOWN[6],
    "Parte trasera",
    SHOWN[7],
    "Parte de abajo",
)
"""The film's chapters: each defect behind its station."""


@pytest.fixture(scope="module")
def clips(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A clip of one second and one gray for each thing that is filmed, and one for what is filmed again."""
    folder = tmp_path_factory.mktemp("clips")
    return {
        words: _clip(gray, folder / f"IMG_{place:04}.{'mov' if place % 2 else 'mp4'}")
        for place, (words, gray) in enumerate([*GRAYS.items(), ("again", GRAY_AGAIN)])
    }


def _clip(gray: int, to: Path) -> Path:
    picture = f"color=c=0x{gray:02x}{gray:02x}{gray:02x}:s=180x320:r=30"
    command = [
        PROGRAM.path,
        "-v",
        "error",
        "-f",
        "lavfi",
        "-i",
        picture,
        "-f",
        "lavfi",
        "-i",
        "anullsrc=r=48000:cl=mono",
    ]
    command += ["-t", "1", "-c:v", "libx264", "-pix_fmt", "yuv420p", "-c:a", "aac", "-movflags", "+faststart", to]
    subprocess.run([str(part) for part in command], check=True)
    return to


def film(page: Page, words: str, clip: Path) -> None:
    """Take a clip with the phone's camera, and wait until it can be played back."""
    card = page.get_by_role("region", name=words, exact=True)
    camera = card.locator("input[capture=environment]")
    camera.set_input_files(clip)
    before = card.locator("video")
    expect(before).to_be_visible()
    size = before.evaluate(
        "player => new Promise(done => { const see = () => player.videoWidth ? "
        "done([player.videoWidth, player.videoHeight]) : setTimeout(see, 20); see() })"
    )
    assert size == [180, 320]


def gray_of(file: Any) -> float:
    with av.open(file) as opened:
        return float(next(opened.decode(video=0)).to_ndarray(format="gray").mean())


def test_eight_clips_of_a_phone_become_a_film_that_plays_anywhere(store, clips, open_page, tmp_path):
    with serve(store / "desk" / "bay") as address:
        page = open_page(f"{address}/es.html", 390, 844, **PHONE)
        hand = Hand(page)
        enter_vehicle(page, hand)
        go_to(page, "Lo que está mal")
        enter_defects(page, hand)
        go_to(page, "Video")
        for words in SHOWN:
            film(page, words, clips[words])
        film(page, AGAIN, clips["again"])
        hand.is_kept()
        page.reload()  # as after a call: the clips are still there
        page.get_by_role("button", name="Abrir: K110 2018 Norrin Calla").tap()
        expect(page.locator("video")).to_have_count(8)
        go_to(page, "Precio y equipo")
        hand.write("Precio, USD", "9,900")
        go_to(page, "Guardar")
        with page.expect_download() as saving:
            page.get_by_role("button", name="Guardar K110.zip").tap()
        saved = tmp_path / "K110.zip"
        saving.value.save_as(saved)

    with ZipFile(saved) as archive:
        record = yaml.safe_load(archive.read("inspection.yaml"))
        (side,) = [clip for clip in record["film"]["clips"] if clip.get("station") == "left side"]
        assert gray_of(archive.open(f"film/{side['file']}")) == pytest.approx(GRAY_AGAIN, abs=4)
        assert sum(name.startswith("film/") for name in archive.namelist()) == 8

    for command in (("intake", store, saved), ("status", store, "K110", "for sale"), ("build", store)):
        done = run_sitegen(*command)
        assert done.returncode == 0, done.stderr
    site = store / "published"
    assert_every_chapter_is_right(site, [defect["id"] for defect in record["defects"]])
    with serve(site) as plain_host:
        for place in (site.as_uri(), plain_host):
            assert_every_chapter_plays(open_page(f"{place}/es/vehicles/K110/index.html", 390, 844))


def go_to(page: Page, step: str) -> None:
    page.get_by_role("button", name="Todos los pasos").tap()
    page.locator(".bay-steps").get_by_role("button", name=re.compile(f"^{step}")).tap()
    expect(page.get_by_role("heading", level=2, name=step, exact=True)).to_be_visible()


def assert_every_chapter_is_right(site: Path, defects: list[str]) -> None:
    """The published clips are in the order of the walk, and each is the one that was filmed for it."""
    vehicle = site / "vehicles" / "K110"
    page = (vehicle / "index.html").read_text("utf-8")
    published = json.loads(page.partition('class="film-data">')[2].partition("</script>")[0])["clips"]
    number = {SHOWN[5 + place]: defect for place, defect in enumerate(defects[:3])}
    assert [clip["defect"] for clip in published] == [number.get(words) for words in ORDER]
    for words, clip in zip(ORDER, published, strict=True):
        gray = GRAY_AGAIN if words == AGAIN else GRAYS[words]
        assert gray_of(str(vehicle / clip["src"])) == pytest.approx(gray, abs=4), words


def assert_every_chapter_plays(page: Page) -> None:
    page.locator("#film-chapters").click()
    links = page.locator(".film-chapter > .film-seek").all()
    assert len(links) == len(ORDER)
    for place, link in enumerate(links):
        link.click()
        page.wait_for_function(
            """href => { const it = document.querySelector("#video .film-player")
            return it.currentSrc === new URL(href, location.href).href && it.videoWidth === 180 }""",
            arg=link.get_attribute("href"),
        )
        expect(page.locator(".film-chapter.is-now")).to_have_id(f"film-{place}")
