"""QR codes (ISO/IEC 18004), as drawings that a template places."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from PIL import Image
from zxingcpp import BarcodeFormat, create_barcode

QUIET_ZONE = 4
"""Modules of empty paper that the symbol needs on every side (ISO/IEC 18004)."""


@dataclass(frozen=True)
class QrCode:
    """A QR code: `side` in modules, quiet zone and all, and the path of its dark modules."""

    side: int
    path: str
    content: str


def qr_code(content: str) -> QrCode:
    """Return the QR code of an address, at level M.

    `https://www.example.com/inventory/stock-1042.html` is 49 bytes: version 4, 33 modules, 41 with the quiet zone.
    The level is M and no more, for larger modules read better from a distance than a higher level does.
    """
    return _drawn(content)


@lru_cache(maxsize=8)  # the sheets of a vehicle carry the same one
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
    """Return where each run of dark modules starts, beyond the quiet zone, and how long it is. 0 is dark."""
    runs, start = [], QUIET_ZONE
    for shade, modules in groupby(shades):
        length = len(list(modules))
        if shade == 0:
            runs.append((start, length))
        start += length
    return runs
