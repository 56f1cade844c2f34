"""The share picture: 1200 x 630, small enough for messengers, and the same bytes on every machine."""

from __future__ import annotations

import hashlib
import io
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageChops

from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.photos.deriving.share_picture import CardFigure, ShareCard, ShareStyle, share_picture_name
from sitegen.photos.making import make_share_pictures
from sitegen.photos.planning.pictures import Candidate, Picture, Pictures
from tests.conftest import REPOSITORY
from tests.photos.lots import (
    COLORS,
    STYLE,
    a_scene,
    engine_of,
    far_apart,
    grain,
    make_one,
    make_share_picture,
    photos_folder,
)

FIGURES = (
    CardFigure("Lowest tread", "6/32 in"),
    CardFigure("Thinnest pad", "6 mm"),
    CardFigure("Odometer", "88,900 mi"),
)


def a_card(picture: Picture | None, title: str = "2016 Brevik Fjordline", store: str = "Ferrow Lane Used Vehicles"):
    return ShareCard(title, FIGURES, store, STYLE, picture)


@pytest.fixture
def lot(tmp_path: Path) -> tuple[Pictures, Picture]:
    """The pictures of one photo of four colored quarters."""
    a_scene().save(photos_folder(tmp_path) / "photo.png")
    return make_one(tmp_path, "photo.png")


def test_the_share_picture_is_a_jpeg_of_1200_by_630(lot):
    """og:image has no size of its own; 1200 x 630 is common practice among those who show it."""
    pictures, picture = lot
    file = make_share_picture(a_card(picture), pictures)
    with Image.open(file) as share:
        assert (share.format, share.size, share.mode) == ("JPEG", (1200, 630), "RGB")
        quarters: list[Any] = [share.getpixel(place) for place in ((150, 150), (600, 150), (150, 480), (600, 480))]
    assert file == pictures.folder / hashlib.sha256(file.read_bytes()).hexdigest()
    assert [far_apart(a, b) <= 10 for a, b in zip(quarters, COLORS.values(), strict=True)] == [True] * 4


def test_it_stays_under_the_limit_even_of_the_worst_photo(tmp_path):
    """Noise is what JPEG can do least with; 300 KB is the bound."""
    noise = io.BytesIO()
    grain((1600, 1200)).save(noise, "JPEG", quality=95)
    with engine_of(tmp_path) as engine:
        full = Candidate(1600, 1200, "noise.jpg", engine.keep(noise.getvalue()))
        card = a_card(Picture(1600, 1200, (), full, full, "#808080"))
        assert make_share_pictures({"one": card}, engine)["one"].stat().st_size < 300_000


def test_each_word_and_figure_of_the_card_is_drawn(lot):
    """Leaving one out changes the picture; another card has another name."""
    pictures, picture = lot
    whole = a_card(picture)
    less = [
        a_card(picture, title="2016 Brevik"),
        a_card(picture, store="Ferrow Lane"),
        *(ShareCard(whole.title, FIGURES[:n] + FIGURES[n + 1 :], whole.store, STYLE, picture) for n in range(3)),
    ]
    made = [make_share_picture(card, pictures) for card in (whole, *less)]
    assert len(set(made)) == len(made)
    images = [Image.open(file).convert("L") for file in made]
    for image in images[1:]:
        assert ImageChops.difference(images[0], image).point(lambda value: 255 * (value > 128)).getbbox()


@pytest.mark.parametrize("title", ["2016 Brevik Fjordline", "2016 " + "Brevik Fjordline Touring " * 6, "W" * 80])
def test_all_text_stays_inside_its_part_of_the_share_picture(lot, title):
    """Whatever the length of the name: the edges round the words stay paper."""
    pictures, _ = lot
    file = make_share_picture(a_card(None, title=title, store="Ferrow Lane " * 6), pictures)
    with Image.open(file) as share:
        right = share.convert("L").crop((1175, 0, 1200, 630))
        bottom = share.convert("L").crop((780, 605, 1200, 630))
    assert min(right.getextrema()[0], bottom.getextrema()[0]) > 230


def test_a_picture_drawn_before_is_not_drawn_again(lot):
    pictures, picture = lot
    file = make_share_picture(a_card(picture), pictures)
    first = file.stat().st_ino
    assert make_share_picture(a_card(picture), pictures).stat().st_ino == first


def test_another_process_draws_the_same_bytes(lot):
    """Nothing of this process's state goes in: neither its hash seed nor its fonts."""
    pictures, _ = lot
    file = make_share_picture(a_card(None), pictures)
    here = file.read_bytes()
    file.unlink()
    program = (
        "import sys; from pathlib import Path; from sitegen.photos.planning.pictures import Pictures; "
        "from tests.photos.lots import make_share_picture; "
        "from tests.photos.test_share_picture import a_card; "
        "print(make_share_picture(a_card(None), Pictures(Path(sys.argv[1]), {})).name)"
    )
    command = [sys.executable, "-c", program, str(pictures.folder)]
    told = subprocess.run(
        command, cwd=REPOSITORY, env={"PYTHONHASHSEED": "7"}, capture_output=True, text=True, check=True
    )
    assert told.stdout.strip() == file.name
    assert file.read_bytes() == here


def test_workers_draw_the_same_bytes_as_this_process(lot):
    """Many are handed out, as photos are; each is the picture of its own card."""
    pictures, picture = lot
    cards = {f"share {number}": a_card(picture, title=f"Number {number}") for number in range(5)}
    with LocalWorkers(2) as workers, engine_of(pictures.folder.parent.parent) as engine:
        places = make_share_pictures(cards, engine, Executors(workers, worth_workers=0.0))
    drawn = {file: place.read_bytes() for file, place in places.items()}
    assert len(set(drawn.values())) == len(cards)
    for file, card in cards.items():
        places[file].unlink()
        assert make_share_picture(card, pictures).read_bytes() == drawn[file]


def test_another_font_or_color_is_another_picture(lot):
    pictures, _ = lot
    card = a_card(None)
    dark = ShareStyle(STYLE.look.model_copy(update={"paper": "#101010"}), STYLE.font)
    files = {
        make_share_picture(ShareCard(card.title, FIGURES, card.store, style), pictures) for style in (STYLE, dark)
    }
    assert len({file.read_bytes() for file in files}) == 2
    assert share_picture_name(card) != share_picture_name(
        ShareCard(card.title, FIGURES, card.store, ShareStyle(STYLE.look, STYLE.font + b"\0"))
    )
