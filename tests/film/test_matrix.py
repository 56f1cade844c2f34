"""Films as phones and cameras write them become one kind of film; an independent reader (PyAV) checks each."""

from __future__ import annotations

import av
import numpy as np
import pytest

from sitegen.film.coding import RENDITIONS, Cut, fitted_size
from sitegen.film.making import code_clip, measure_loudness
from sitegen.film.probing import probe
from tests.film.films import PROGRAM, Film, make_film

FILMS = (
    Film("plain.mp4"),
    Film("phone.mov", "hevc", depth=10, transfer="hlg", rotation=270),
    Film("phone-upright.mov", "hevc", depth=10, transfer="hlg"),
    Film("hdr10.mp4", "hevc", depth=10, transfer="pq"),
    Film("hevc.mp4", "hevc", sound="stereo", options=("-tag:v", "hev1")),
    Film("hevc-10.mov", "hevc", depth=10, rotation=90),
    Film("h264-10.mov", "h264", depth=10),
    Film("rotated.mov", rotation=90),
    Film("upside-down.mp4", rotation=180),
    Film("selfie.mp4", rotation=90, mirrored=True),
    Film("mirrored.mov", mirrored=True),
    Film("vp9.webm", "vp9"),
    Film("vp9-10.webm", "vp9", depth=10, transfer="hlg", options=("-profile:v", "2")),
    Film("av1.webm", "av1", sound="none"),
    Film("av1.mp4", "av1", depth=10),
    Film("old.3gp", "h263", size=(176, 144), rate="15"),
    Film("old-mpeg4.3gp", "mpeg4", size=(320, 240), rate="15"),
    Film("4k.mov", "h264", size=(3840, 2160), seconds=0.5),
    Film("60.mov", "hevc", rate="60"),
    Film("240.mov", "h264", rate="240", seconds=1),
    Film("film-rate.mp4", rate="24000/1001"),
    Film("fragmented.mp4", options=("-movflags", "frag_keyframe+empty_moov")),
    Film("uneven.mov", options=("-vf", "select='mod(n,7)*mod(n,3)'", "-fps_mode", "vfr")),
    Film("mute.mov", sound="none"),
    Film("silent.mp4", sound="silent"),
    Film("quiet.mp4", sound="quiet", seconds=4),
    Film("odd.mp4", size=(642, 362)),
    Film("wide-pixels.mp4", size=(480, 480), options=("-aspect", "4:3")),
)


@pytest.mark.parametrize("film", FILMS, ids=lambda film: film.name)
def test_a_film_of_any_phone_becomes_the_film_that_every_browser_plays(film, tmp_path):
    """Upright, H.264 High 4:2:0 8 bit, 30 frames a second, AAC where it had sound, and no metadata."""
    source = make_film(film, tmp_path)
    facts = probe(PROGRAM, source)
    rendition = RENDITIONS[0]
    frame = fitted_size(facts.width, facts.height, rendition.short_side)
    loudness = measure_loudness(PROGRAM, source, Cut()) if facts.has_sound else None
    to = tmp_path / "out" / "film.mp4"
    to.parent.mkdir()
    code_clip(PROGRAM, source, to, facts, frame, rendition, loudness=loudness, with_sound=facts.has_sound)

    with av.open(str(to)) as coded:
        video = coded.streams.video[0]
        pictures = [picture.to_ndarray(format="rgb24") for picture in coded.decode(video=0)]
        metadata = {**coded.metadata, **video.metadata}
        profile, pixel_format, rate = video.codec_context.profile, video.codec_context.pix_fmt, video.average_rate
        has_sound = bool(coded.streams.audio)
    assert (profile, pixel_format, float(rate)) == ("High", "yuv420p", 30)
    assert pictures[0].shape[:2] == frame[::-1]
    assert has_sound is (film.sound != "none")
    assert len(pictures) == pytest.approx(film.seconds * 30, abs=4)
    assert not {"location", "creation_time", "title"} & {key.lower() for key in metadata}
    assert b"+40.12" not in to.read_bytes()
    _assert_upright(pictures[len(pictures) // 2], film)


def _assert_upright(picture: np.ndarray, film: Film) -> None:
    """Assert that the left upper quarter alone is red: colors within the error of coding."""
    height, width = picture.shape[:2]
    quarter = picture[height // 8 : height * 3 // 8, width // 8 : width * 3 // 8].reshape(-1, 3).mean(axis=0)
    rest = picture[height * 5 // 8 : height * 7 // 8, width * 5 // 8 : width * 7 // 8].reshape(-1, 3).mean(axis=0)
    tolerance = 14 if film.transfer == "sdr" else 22
    assert quarter == pytest.approx([0xB0, 0x30, 0x20], abs=tolerance)
    assert rest == pytest.approx([0x40, 0x60, 0x40], abs=tolerance)
