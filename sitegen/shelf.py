"""A shelf of bytes by name: more than fit in memory, packed into one file that nobody else sees."""

from __future__ import annotations

import weakref
import zlib
from collections.abc import Iterator, MutableMapping
from pathlib import Path
from tempfile import SpooledTemporaryFile

IN_MEMORY = 32_000_000
"""Bytes, packed, up to which no file is made."""


class Shelf(MutableMapping[str, bytes]):
    """Holds bytes by name as a mapping does. The file ends with it; what is put in twice takes room twice."""

    def __init__(self, folder: Path) -> None:
        """`folder` is where the file is made, if it comes to that."""
        self._file = SpooledTemporaryFile(IN_MEMORY, dir=str(folder))  # noqa: SIM115  # closed with the shelf
        weakref.finalize(self, self._file.close)
        self._places: dict[str, tuple[int, int]] = {}
        self._end = 0

    def __getitem__(self, name: str) -> bytes:
        start, length = self._places[name]
        self._file.seek(start)
        return zlib.decompress(self._file.read(length))

    def __setitem__(self, name: str, content: bytes) -> None:
        packed = zlib.compress(content, 1)
        self._file.seek(self._end)
        self._file.write(packed)
        self._places[name] = (self._end, len(packed))
        self._end += len(packed)

    def __delitem__(self, name: str) -> None:
        del self._places[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)
