"""High dynamic range becomes standard range: against ITU-R BT.2100-2 written down independently, in CIEDE2000."""

from __future__ import annotations

import subprocess

import av
import numpy as np
import pytest
from skimage.color import deltaE_ciede2000, rgb2lab

from sitegen.film.coding import RENDITIONS, fitted_size
from sitegen.film.making import code_clip
from sitegen.film.probing import probe
from sitegen.film.standard_range import standard_signal
from tests.film.films import PROGRAM
from tests.film.reference_colors import PATCHES, hlg_signal, nits, planes, pq_signal

SIZE = 64


@pytest.mark.parametrize(("signal", "transfer"), [(hlg_signal, "arib-std-b67"), (pq_signal, "smpte2084")])
def test_colors_of_a_high_dynamic_range_film_are_preserved(signal, transfer, tmp_path):
    """Ten colors of paint stay within a CIEDE2000 difference of 2, about what an eye notices side by side."""
    source, to = tmp_path / "patches.mov", tmp_path / "film.mp4"
    tags = f"setparams=color_primaries=bt2020:color_trc={transfer}:colorspace=bt2020nc:range=tv"
    command = [str(PROGRAM.path), "-v", "error", "-f", "rawvideo", "-pix_fmt", "yuv420p10le", "-r", "30"]
    command += ["-s", f"{SIZE * len(PATCHES)}x{SIZE}", "-i", "-", "-vf", tags, "-c:v", "libx265"]
    command += ["-x265-params", "lossless=1:log-level=error", str(source)]
    subprocess.run(command, input=planes(signal(nits(PATCHES)), SIZE) * 10, check=True)
    facts = probe(PROGRAM, source)
    assert facts.transfer == transfer
    frame = fitted_size(facts.width, facts.height, 720)
    code_clip(PROGRAM, source, to, facts, frame, RENDITIONS[0], with_sound=False)

    shown = _signals(to)
    differences = deltaE_ciede2000(rgb2lab(shown[None]), rgb2lab(PATCHES[None]))[0]
    assert differences.max() < 2, differences.round(2)


def test_light_above_white_is_compressed_and_keeps_its_order():
    """A lamp of 1,000 cd/m2 is white, and less light is never shown brighter."""
    grays = [standard_signal((light, light, light))[0] for light in range(0, 1001, 10)]
    assert grays == sorted(grays)
    assert grays[-1] == pytest.approx(1, abs=0.005)
    assert standard_signal((101.5, 101.5, 101.5))[0] == pytest.approx(0.5 ** (1 / 2.4), abs=0.002)


def _signals(film) -> np.ndarray:
    """Return the red, green and blue of each patch from the decoded planes, by the BT.709 matrix."""
    with av.open(str(film)) as opened:
        picture = list(opened.decode(video=0))[5].to_ndarray(format="yuv420p").astype(float)
    luma = picture[:SIZE]
    blue, red = (part.reshape(SIZE // 2, -1) for part in np.split(picture[SIZE:], 2))

    def means(plane: np.ndarray, size: int) -> np.ndarray:
        patches = np.split(plane, len(PATCHES), axis=1)
        return np.array([patch[size // 4 : -size // 4, size // 4 : -size // 4].mean() for patch in patches])

    y, u, v = (means(luma, SIZE) - 16) / 219, *((means(part, SIZE // 2) - 128) / 224 for part in (blue, red))
    return np.clip(np.stack([y + 1.5748 * v, y - 0.1873 * u - 0.4681 * v, y + 1.8556 * u], axis=-1), 0, 1)
