"""Colors in HLG and PQ by the formulas of ITU-R BT.2100-2, independent of FFmpeg's own conversion.

SDR white is 203 cd/m2 (ITU-R BT.2408-7, table 1); the HLG display has 1,000 cd/m2 and a system gamma of 1.2.
"""

from __future__ import annotations

import numpy as np

WHITE, PEAK, GAMMA = 203.0, 1000.0, 1.2
TO_2020 = np.array([[0.6274, 0.3293, 0.0433], [0.0691, 0.9195, 0.0114], [0.0164, 0.0880, 0.8956]])
"""Linear BT.709 to BT.2020: ITU-R BT.2087-0, annex 2."""
LUMA = np.array([0.2627, 0.6780, 0.0593])
PATCHES = np.array(
    [
        (0.05, 0.05, 0.05), (0.2, 0.2, 0.2), (0.5, 0.5, 0.5), (0.75, 0.75, 0.75),
        (0.7, 0.15, 0.12), (0.1, 0.45, 0.2), (0.12, 0.2, 0.6), (0.75, 0.6, 0.1), (0.45, 0.3, 0.2), (0.3, 0.5, 0.6),
    ]
)  # fmt: skip
"""Colors as BT.709 signals, 0 to 1."""


def nits(signal: np.ndarray) -> np.ndarray:
    """Return the light in cd/m2, BT.2020 primaries, of BT.709 signals on a reference display (BT.1886, gamma 2.4)."""
    return (signal**2.4) @ TO_2020.T * WHITE


def hlg_signal(light: np.ndarray) -> np.ndarray:
    """Return the HLG signal of display light: inverse OOTF, then OETF (BT.2100-2, table 5)."""
    relative = light / PEAK
    luma = (relative @ LUMA)[..., None]
    scene = relative * np.where(luma > 0, luma, 1) ** ((1 - GAMMA) / GAMMA)
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    return np.where(scene <= 1 / 12, np.sqrt(3 * scene), a * np.log(np.maximum(12 * scene - b, 1e-9)) + c)


def pq_signal(light: np.ndarray) -> np.ndarray:
    """Return the PQ signal of display light: inverse EOTF (BT.2100-2, table 4; SMPTE ST 2084)."""
    m1, m2, c1, c2, c3 = 2610 / 16384, 2523 / 32, 3424 / 4096, 2413 / 128, 2392 / 128
    power = (light / 10000) ** m1
    return ((c1 + c2 * power) / (1 + c3 * power)) ** m2


def planes(signal: np.ndarray, size: int) -> bytes:
    """Return one 10-bit 4:2:0 picture, limited range, BT.2020 matrix: the patches side by side, each `size` wide."""
    luma = signal @ LUMA
    blue, red = (signal[:, 2] - luma) / 1.8814, (signal[:, 0] - luma) / 1.4746
    y = np.round(luma * 876 + 64).astype("<u2")
    u, v = (np.round(part * 896 + 512).astype("<u2") for part in (blue, red))
    full = np.tile(np.repeat(y, size), (size, 1))
    half = [np.tile(np.repeat(part, size // 2), (size // 2, 1)) for part in (u, v)]
    return full.tobytes() + half[0].tobytes() + half[1].tobytes()
