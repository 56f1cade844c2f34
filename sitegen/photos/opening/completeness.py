"""Detect truncated photo files from their structure, without decoding pixels."""

from __future__ import annotations

from collections.abc import Iterator

_JPEG_START = b"\xff\xd8"
_JPEG_END = b"\xff\xd9"
_PNG_START = b"\x89PNG\r\n\x1a\n"
_START_OF_SCAN = 0xDA
_MARKERS_WITHOUT_LENGTH = {0x01, *range(0xD0, 0xD8)}


def is_cut_short(photo: bytes) -> bool:
    """Return whether the file ends before its format says it should. Unknown formats return False."""
    if photo.startswith(_JPEG_START):
        return _jpeg_cut_short(photo)
    if photo.startswith(_PNG_START):
        return not any(kind == b"IEND" for kind, _ in png_chunks(photo))
    if photo[:4] == b"RIFF" and photo[8:12] == b"WEBP":
        return len(photo) < 8 + int.from_bytes(photo[4:8], "little")
    if photo[4:8] == b"ftyp":
        return any(end > len(photo) for end in _box_ends(photo))
    return False


def _jpeg_cut_short(photo: bytes) -> bool:
    # ITU-T T.81, B.1.1: segments with lengths up to the scan; inside it 0xFF 0xD9 can only be the end of the image.
    # A thumbnail's end marker lies inside a segment, so it is skipped.
    place = 2
    while place + 4 <= len(photo):
        if photo[place] != 0xFF:
            return photo.find(_JPEG_END, place) < 0
        marker = photo[place + 1]
        if marker == 0xFF:
            place += 1
        elif marker in _MARKERS_WITHOUT_LENGTH:
            place += 2
        elif marker == _START_OF_SCAN:
            return photo.find(_JPEG_END, place) < 0
        else:
            place += 2 + int.from_bytes(photo[place + 2 : place + 4], "big")
    return True


def png_chunks(photo: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield the type and data of each whole chunk of a PNG.

    A chunk is length, type, data, and a check value (W3C PNG, 5.3).
    """
    place = len(_PNG_START)
    while (end := place + 12 + int.from_bytes(photo[place : place + 4], "big")) <= len(photo):
        yield photo[place + 4 : place + 8], photo[place + 8 : end - 4]
        place = end


def _box_ends(photo: bytes) -> Iterator[int]:
    # ISO/IEC 14496-12, 4.2: 32-bit size and type; size 1 means that 64 bits follow, size 0 to the end of the file.
    place = 0
    while place < len(photo):
        size = int.from_bytes(photo[place : place + 4], "big")
        if size == 1:
            size = int.from_bytes(photo[place + 8 : place + 16], "big")
        if size == 0:
            return
        place += max(size, 8)
        yield place
