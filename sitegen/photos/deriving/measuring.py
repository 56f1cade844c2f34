"""Measure brightness, sharpness and a perceptual hash of an upright photo. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from PIL import Image, ImageFilter, ImageStat

LOOKED_AT = 512
"""Photos are scaled to this longer side, in pixels, before they are measured, so that measures can be compared."""
TILES = 8
"""Sharpness is measured in 8 x 8 tiles: a photo with one sharp object in it counts as sharp."""

_LAPLACIAN = ImageFilter.Kernel((3, 3), (0, 1, 0, 1, -4, 1, 0, 1, 0), scale=1, offset=128)


@dataclass(frozen=True)
class Measures:
    """The measures of one photo."""

    brightness: float
    """Mean luma, 0 (black) to 255."""
    sharpness: float
    """Variance of the Laplacian in the sharpest tenth of the tiles."""
    likeness: str
    """Perceptual hash: 128 bits in hexadecimal. A bit is set where a cell is brighter than its right or lower
    neighbor."""


def measure(image: Image.Image) -> Measures:
    """Measure an upright photo."""
    gray = image.convert("L")
    gray.thumbnail((LOOKED_AT, LOOKED_AT), Image.Resampling.LANCZOS)
    return Measures(round(ImageStat.Stat(gray).mean[0], 2), round(_sharpness(gray), 2), _likeness(gray))


def bits_apart(first: str, second: str) -> int:
    """Return the Hamming distance of two perceptual hashes, 0 to 128."""
    return (int(first, 16) ^ int(second, 16)).bit_count()


def _sharpness(gray: Image.Image) -> float:
    # The filter does not change the outermost pixels, whose brightness would count as an edge.
    edges = gray.filter(_LAPLACIAN).crop((1, 1, gray.width - 1, gray.height - 1))
    width, height = max(1, edges.width // TILES), max(1, edges.height // TILES)
    tiles = [
        edges.crop((left, top, left + width, top + height))
        for left in range(0, width * TILES, width)
        for top in range(0, height * TILES, height)
    ]
    variances = sorted(ImageStat.Stat(tile).var[0] for tile in tiles)
    sharpest = variances[-len(variances) // 10 :]
    return sum(sharpest) / len(sharpest)


def _likeness(gray: Image.Image) -> str:
    across = gray.resize((9, 8), Image.Resampling.BOX).tobytes()
    down = gray.resize((8, 9), Image.Resampling.BOX).tobytes()
    bits = [across[row * 9 + column] > across[row * 9 + column + 1] for row in range(8) for column in range(8)]
    bits += [down[row * 8 + column] > down[(row + 1) * 8 + column] for row in range(8) for column in range(8)]
    return f"{int(''.join('1' if bit else '0' for bit in bits), 2):032x}"
