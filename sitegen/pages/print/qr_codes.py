"""QR codes (ISO/IEC 18004), as drawings that a template places."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

import segno

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
    symbol = segno.make(content, error="m", boost_error=False, micro=False)
    rows = [
        f"M{start} {line}h{length}v1h-{length}z"
        for line, row in enumerate(symbol.matrix_iter(border=QUIET_ZONE))
        for start, length in _dark_runs(row)
    ]
    side, _ = symbol.symbol_size(border=QUIET_ZONE)
    return QrCode(int(side), "".join(rows), content)


def _dark_runs(row: Iterable[int]) -> list[tuple[int, int]]:
    """Return where each run of dark modules starts, and how long it is."""
    runs, start = [], 0
    for dark, modules in groupby(row):
        length = len(list(modules))
        if dark:
            runs.append((start, length))
        start += length
    return runs
