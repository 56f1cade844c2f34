"""Read the metadata of a WebM file: displayed size, length, coding, and whether it contains a location.

Source: RFC 8794 (EBML), RFC 9559 (Matroska), the WebM Container Guidelines. Clusters, which hold the frames, are
skipped.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from io import BytesIO
from typing import BinaryIO

from sitegen.reading.video.video_facts import VideoFacts

_HEADER, _DOCUMENT_TYPE, _SEGMENT = 0x1A45DFA3, 0x4282, 0x18538067
_INFORMATION, _SCALE, _LENGTH = 0x1549A966, 0x2AD7B1, 0x4489
_TRACKS, _TRACK, _CODING, _VIDEO = 0x1654AE6B, 0xAE, 0x86, 0xE0
_WIDTH, _HEIGHT, _SHOWN_WIDTH, _SHOWN_HEIGHT = 0xB0, 0xBA, 0x54B0, 0x54BA
_TAGS, _TAG, _SIMPLE_TAG, _TAG_NAME = 0x1254C367, 0x7373, 0x67C8, 0x45A3
_LARGEST_PART = 16_000_000
"""Largest metadata element that is read, in bytes. Usual ones have some thousands."""

Content = dict[int, list[bytes]]
"""Child elements by id."""


def webm_facts(file: BinaryIO, size: int) -> VideoFacts | None:
    """Return the metadata of a WebM file of `size` bytes. None if it is damaged, or Matroska but not WebM."""
    try:
        top = dict[int, tuple[int, int]]()
        for number, begins, ends in _elements(file, 0, size):
            top.setdefault(number, (begins, ends))
        if (
            _DOCUMENT_TYPE not in (header := _children(_read(file, *top[_HEADER])))
            or header[_DOCUMENT_TYPE][0] != b"webm"
        ):
            return None
        parts: Content = {}
        for number, begins, ends in _elements(file, *top[_SEGMENT]):
            if number in (_INFORMATION, _TRACKS, _TAGS):
                parts.setdefault(number, []).append(_read(file, begins, ends))
        return _facts(parts)
    except (KeyError, EOFError, ValueError, struct.error):
        return None


def _facts(parts: Content) -> VideoFacts | None:
    information = _children(parts[_INFORMATION][0])
    scale = int.from_bytes(information.get(_SCALE, [b"\x0f\x42\x40"])[0])  # in nanoseconds; the default is 1,000,000
    length = round(_float(information[_LENGTH][0]) * scale / 1_000_000) if _LENGTH in information else None
    names = [
        name
        for tags in parts.get(_TAGS, [])
        for tag in _children(tags).get(_TAG, [])
        for simple in _children(tag).get(_SIMPLE_TAG, [])
        for name in _children(simple).get(_TAG_NAME, [])
    ]
    for track in _children(parts[_TRACKS][0]).get(_TRACK, []):
        track_held = _children(track)
        if _VIDEO in track_held:
            video = _children(track_held[_VIDEO][0])
            width, height = (
                int.from_bytes((video.get(shown) or video[stored])[0])
                for shown, stored in ((_SHOWN_WIDTH, _WIDTH), (_SHOWN_HEIGHT, _HEIGHT))
            )
            coding = track_held[_CODING][0].decode("latin-1")
            has_location = any(b"LOCATION" in name.upper() for name in names)
            return VideoFacts("video/webm", coding, width, height, length, has_location)
    return None


def _elements(file: BinaryIO, begins: int, ends: int) -> Iterator[tuple[int, int, int]]:
    """Yield each element in a range of the file: its id, and the start and end of its content."""
    place = begins
    while place < ends:
        file.seek(place)
        number = _variable_number(file, keep_mark=True)
        length = _variable_number(file)
        inside = file.tell()
        # All bits set means an unknown length. The element then extends to the end of its parent.
        place = ends if length is None else inside + length
        if number is None or place > ends:
            raise EOFError
        yield number, inside, place


def _variable_number(file: BinaryIO, keep_mark: bool = False) -> int | None:
    """Return an EBML variable-length integer of one to eight bytes, or None if all of its value bits are set.

    The position of the first set bit gives the number of bytes. `keep_mark` leaves that bit in the result, as ids do.
    """
    first = file.read(1)
    if not first or not first[0]:
        raise EOFError
    more = 8 - first[0].bit_length()
    rest = file.read(more)
    if len(rest) < more:
        raise EOFError
    whole = int.from_bytes(first + rest)
    mark = 1 << (7 * (more + 1))
    if keep_mark:
        return whole
    return None if whole == 2 * mark - 1 else whole - mark


def _children(content: bytes) -> Content:
    children: Content = {}
    for number, begins, ends in _elements(BytesIO(content), 0, len(content)):
        children.setdefault(number, []).append(content[begins:ends])
    return children


def _read(file: BinaryIO, begins: int, ends: int) -> bytes:
    if ends - begins > _LARGEST_PART:
        raise EOFError
    file.seek(begins)
    return file.read(ends - begins)


def _float(content: bytes) -> float:
    (value,) = struct.unpack(">f" if len(content) == 4 else ">d", content)
    return float(value)
