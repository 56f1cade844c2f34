"""Published films: covers, loudness, seekable groups, joined clips."""

from __future__ import annotations

import struct

import av
import numpy as np
import pytest

from sitegen.film.coding import RENDITIONS, Cut, fitted_size
from sitegen.film.covers import CoverBox
from sitegen.film.making import best_moment, code_clip, join_clips, measure_loudness, take_still
from sitegen.film.probing import probe
from tests.film.films import PROGRAM, Film, make_film


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("coded")


def coded(film, folder, **options):
    """Return a film coded for the web at 720, and its facts."""
    source = make_film(film, folder)
    facts = probe(PROGRAM, source)
    to = folder / f"{film.name}.coded.mp4"
    code_clip(PROGRAM, source, to, facts, fitted_size(facts.width, facts.height, 720), RENDITIONS[0], **options)
    return to, facts


@pytest.mark.parametrize(
    ("width", "height", "size"), [(1080, 1920, (720, 1280)), (640, 360, (640, 360)), (3, 9, (4, 8))]
)
def test_a_film_is_never_enlarged(width, height, size):
    assert fitted_size(width, height, 720) == size


def test_a_cover_hides_a_moving_plate_in_every_picture(folder):
    """A white plate moves across; in each decoded picture the fill is where it was, and nowhere a white pixel."""
    plate = Film("plate.mov", seconds=2, sound="none", options=("-vf", f"null,{_moving(200)}"))
    at = [
        CoverBox(0.0, 36 / 640, 96 / 360, 68 / 640, 38 / 360),
        CoverBox(2.0, 436 / 640, 96 / 360, 68 / 640, 38 / 360),
    ]
    bare, _ = coded(plate, folder, with_sound=False)
    assert min(_whitest(bare)) > 200, "the plate is in every picture of the source"
    covered, _ = coded(plate, folder, covers=[at], with_sound=False)
    assert max(_whitest(covered)) < 170


def _moving(speed: int) -> str:
    return (
        f"drawbox=x=40:y=100:w=1:h=1:color=black,split[a][b];[b]crop=60:30:0:0,lutyuv=y=235:u=128:v=128[w];"
        f"[a][w]overlay=x=40+{speed}*t:y=100"
    )


def _whitest(film) -> list[float]:
    """Return the brightest luma of each picture, over squares of four pixels."""
    with av.open(str(film)) as opened:
        pictures = [picture.to_ndarray(format="gray") for picture in opened.decode(video=0)]
    height, width = pictures[0].shape
    return [float(picture.reshape(height // 4, 4, width // 4, 4).mean((1, 3)).max()) for picture in pictures]


def test_speech_is_published_at_the_chosen_loudness(folder):
    """-19 LUFS within 1, true peak at most -2 dB: measured by ITU-R BS.1770 as pyloudnorm computes it."""
    import pyloudnorm

    for name in ("quiet", "speech"):
        film = Film(f"{name}.mov", sound=name, seconds=5)
        loudness = measure_loudness(PROGRAM, make_film(film, folder), Cut())
        to, _ = coded(film, folder, loudness=loudness)
        with av.open(str(to)) as opened:
            parts = [frame.to_ndarray().T for frame in opened.decode(audio=0)]
        sound = np.concatenate(parts)
        assert pyloudnorm.Meter(48000).integrated_loudness(sound) == pytest.approx(-19, abs=1)
        assert 20 * np.log10(np.abs(sound).max()) <= -2


def test_the_index_comes_first_and_groups_are_short_and_closed(folder):
    """A player can begin while the film loads, and at any two seconds."""
    to, _ = coded(Film("seek.mov", seconds=5), folder)
    content = to.read_bytes()
    assert _boxes(content).index("moov") < _boxes(content).index("mdat")
    with av.open(str(to)) as opened:
        keys = [float(packet.pts * packet.time_base) for packet in opened.demux(video=0) if packet.is_keyframe]
    assert np.diff([*keys, 5]).max() <= 2.05


def _boxes(content: bytes) -> list[str]:
    """Return the names of the top-level boxes, in order: ISO/IEC 14496-12, 4.2."""
    names, at = [], 0
    while at + 8 <= len(content):
        size, name = struct.unpack(">I4s", content[at : at + 8])
        names.append(name.decode("latin-1"))
        at += max(size, 8)
    return names


def test_clips_of_any_shape_are_joined_in_order(folder):
    """A wide clip, an upright one and one without sound become one film: all pictures, sound throughout."""
    films = [Film("one.mov"), Film("two.mov", size=(360, 640), seconds=1), Film("three.mp4", sound="none", seconds=1)]
    clips = []
    for film in films:
        source = make_film(film, folder)
        facts = probe(PROGRAM, source)
        clips.append(folder / f"clip-{film.name}.mp4")
        code_clip(PROGRAM, source, clips[-1], facts, (640, 360), RENDITIONS[0])
    to = folder / "joined.mp4"
    join_clips(PROGRAM, clips, to, folder)
    with av.open(str(to)) as opened:
        pictures = [picture.to_ndarray(format="rgb24") for picture in opened.decode(video=0)]
        seconds = opened.duration / 1_000_000
    assert len(pictures) == pytest.approx(120, abs=4)
    assert seconds == pytest.approx(4, abs=0.15)
    assert pictures[75][180, 20].mean() < 60, "the upright clip stands on a plain ground"
    assert pictures[110][60, 60, 0] > 140


def test_a_poster_is_a_bright_and_sharp_moment(folder):
    """Of a film that begins black, the poster is a later moment."""
    film = Film("dark.mov", seconds=4, sound="none", options=("-vf", "fade=t=in:st=1.5:d=0.5"))
    to, _ = coded(film, folder, with_sound=False)
    scratch = folder / "scratch"
    scratch.mkdir()
    at = best_moment(PROGRAM, to, 4, scratch)
    assert at > 1.5
    take_still(PROGRAM, to, at, folder / "poster.png", width=320)
    assert (folder / "poster.png").stat().st_size > 500


def test_a_cut_has_the_given_length(folder):
    to, _ = coded(Film("long.mov", seconds=4), folder, cut=Cut(1, 2.5))
    with av.open(str(to)) as opened:
        assert opened.duration / 1_000_000 == pytest.approx(1.5, abs=0.1)


def test_the_same_source_gives_the_same_bytes(folder):
    """A build on any day, of the same version of FFmpeg, gives the same file."""
    first, _ = coded(Film("same.mov", seconds=1), folder)
    content = first.read_bytes()
    again, _ = coded(Film("same.mov", seconds=1), folder)
    assert again.read_bytes() == content
