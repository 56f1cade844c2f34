"""Convert colors of a high-dynamic-range film to standard range, by a table for FFmpeg's `lut3d` filter.

Pure. Source: ITU-R BT.2100-2 (HLG and PQ), BT.2408-7 (reference white of 203 cd/m2), BT.2087-0 (primaries).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from math import exp

NODES = 33
"""Nodes of the table along each of red, green and blue."""
WHITE, HLG_PEAK, HLG_GAMMA = 203.0, 1000.0, 1.2
"""cd/m2 of reference white and of the reference HLG display, and its system gamma."""
KNEE = 0.8
"""Share of white above which lights are compressed: this project's choice."""
_TO_709 = ((1.6605, -0.5876, -0.0728), (-0.1246, 1.1329, -0.0083), (-0.0182, -0.1006, 1.1187))
_LUMA = (0.2627, 0.6780, 0.0593)

Color = tuple[float, float, float]


@cache
def cube_text(transfer: str) -> str:
    """Return the table from HLG (`arib-std-b67`) or PQ (`smpte2084`) to BT.709 signals, as text in the .cube format.

    Red changes fastest, as the format requires.
    """
    rows = (f"{r:.5f} {g:.5f} {b:.5f}" for r, g, b in _rows(transfer))
    return f"LUT_3D_SIZE {NODES}\n" + "\n".join(rows) + "\n"


def _rows(transfer: str) -> Iterator[Color]:
    decode = _hlg_scene if transfer == "arib-std-b67" else _pq_light
    curve = [decode(node / (NODES - 1)) for node in range(NODES)]
    for blue in curve:
        for green in curve:
            for red in curve:
                color = (red, green, blue)
                yield standard_signal(_hlg_light(color) if transfer == "arib-std-b67" else color)


def standard_signal(light: Color) -> Color:
    """Return the BT.709 signal, 0 to 1, of light in cd/m2 with BT.2020 primaries.

    Light up to KNEE of reference white keeps its value: 101.5 cd/m2 of gray is half of white, a signal of 0.749.
    """
    linear = [max(sum(part * value for part, value in zip(row, light, strict=True)), 0) / WHITE for row in _TO_709]
    brightest = max(linear)
    scale = _compressed(brightest) / brightest if brightest > KNEE else 1
    red, green, blue = (min(value * scale, 1) ** (1 / 2.4) for value in linear)
    return red, green, blue


def _compressed(value: float) -> float:
    """Return a light above the knee, compressed so that the HLG peak becomes white: smooth and rising."""
    peak = HLG_PEAK / WHITE
    room, excess = 1 - KNEE, min(value, peak) - KNEE
    bend = room * (peak - KNEE) / (peak - KNEE - room)
    return KNEE + bend * excess / (bend + excess)


def _hlg_scene(signal: float) -> float:
    """Return scene light, 0 to 1, of an HLG signal (BT.2100-2, table 5)."""
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    return signal**2 / 3 if signal <= 0.5 else (exp((signal - c) / a) + b) / 12


def _hlg_light(scene: Color) -> Color:
    """Return the light of the reference display, in cd/m2: the OOTF works on luminance, so hues stay."""
    luma = sum(part * value for part, value in zip(_LUMA, scene, strict=True))
    gain = HLG_PEAK * luma ** (HLG_GAMMA - 1) if luma > 0 else 0
    red, green, blue = (gain * value for value in scene)
    return red, green, blue


def _pq_light(signal: float) -> float:
    """Return the light in cd/m2 of a PQ signal (BT.2100-2, table 4)."""
    m1, m2, c1, c2, c3 = 2610 / 16384, 2523 / 32, 3424 / 4096, 2413 / 128, 2392 / 128
    power = signal ** (1 / m2)
    return 10000 * float((max(power - c1, 0) / (c2 - c3 * power)) ** (1 / m1))
