"""Holds bytes by name: more than fit in memory, packed into one file that nobody else sees."""

from __future__ import annotations

import weakref
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from tempfile import SpooledTemporaryFile

IN_MEMORY = 4_000_000
"""Bytes, packed, up to which no file is made."""


@dataclass(frozen=True)
class Packed:
    """Bytes as they are kept and sent, and what tells them apart without unpacking them."""

    content: bytes
    imprint: str
    """SHA-256 of the packed bytes, in hexadecimal. Where two are the same, so is what is in them."""

    def unpacked(self) -> bytes:
        """Return the bytes."""
        return zlib.decompress(self.content)


def packed(content: bytes) -> Packed:
    """Pack some bytes."""
    small = zlib.compress(content, 1)
    return Packed(small, sha256(small).hexdigest())


class Shelf(Mapping[str, bytes]):
    """Gives bytes back by name. The file ends with it; what is put there twice takes room twice."""

    def __init__(self, folder: Path | None = None) -> None:
        """`folder` is where the file is made, if it comes to that; None leaves it to the system."""
        self._file = SpooledTemporaryFile(IN_MEMORY, dir=str(folder) if folder else None)  # noqa: SIM115  # closed with the shelf
        weakref.finalize(self, self._file.close)
        self._places: dict[str, tuple[int, int]] = {}
        self._end, self._is_at_end = 0, True
        self.imprints: dict[str, str] = {}
        """What tells apart what lies here, by name."""

    def put(self, name: str, content: bytes | Packed) -> None:
        """Put bytes under a name, in the place of what is there."""
        small = content if isinstance(content, Packed) else packed(content)
        if not self._is_at_end:  # to seek empties the buffer, wherever it leads
            self._file.seek(self._end)
            self._is_at_end = True
        self._file.write(small.content)
        self._places[name] = (self._end, len(small.content))
        self._end += len(small.content)
        self.imprints[name] = small.imprint

    def __getitem__(self, name: str) -> bytes:
        start, length = self._places[name]
        self._file.seek(start)
        self._is_at_end = False
        return zlib.decompress(self._file.read(length))

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)
