"""Build QR codes (ISO/IEC 18004) as SVG paths."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from PIL import Image
from zxingcpp import BarcodeFormat, create_barcode

QUIET_ZONE = 4
"""Width of the empty margin that the symbol needs on every side, in modules (ISO/IEC 18004)."""


@dataclass(frozen=True)
class QrCode:
    """A QR code: its `side` in modules including the quiet zone, and the SVG path of its dark modules."""

    side: int
    path: str
    content: str


def qr_code(content: str) -> QrCode:
    """Return the QR code of an address, with error correction level M.

    `https://www.example.com/inventory/stock-1042.html` is 49 bytes: version 4, 33 modules, 41 with the quiet zone.
    A higher level would need smaller modules, which are harder to read from a distance.
    """
    return _drawn(content)


@lru_cache(maxsize=8)  # All sheets of a vehicle show the same code.
def _drawn(content: str) -> QrCode:
    symbol = create_barcode(content, BarcodeFormat.QRCode, ec_level="M")
    picture = Image.fromarray(symbol.to_image(scale=1, add_quiet_zones=False))
    side, shades = picture.width, picture.tobytes()
    rows = [
        f"M{start} {QUIET_ZONE + line}h{length}v1h-{length}z"
        for line in range(side)
        for start, length in _dark_runs(shades[line * side : (line + 1) * side])
    ]
    return QrCode(QUIET_ZONE + side + QUIET_ZONE, "".join(rows), content)


def _dark_runs(shades: bytes) -> list[tuple[int, int]]:
    """Return the start and the length of each run of dark modules in a row. A shade of 0 is dark."""
    runs, start = [], QUIET_ZONE
    for shade, modules in groupby(shades):
        length = len(list(modules))
        if shade == 0:
            runs.append((start, length))
        start += length
    return runs
